import { UnreadablePictureError } from "./errors.ts";

/** For formats with one picture a file. @throws UnreadablePictureError no-such-page */
export function checkSinglePage(page: number | undefined): void {
  if (page === undefined || page === 0) return;
  throw new UnreadablePictureError("no-such-page", {
    expected: "page 0",
    received: `Page ${page} was asked for and the file has 1`,
    nextStep: "Choose a page that exists",
  });
}
