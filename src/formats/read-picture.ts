import type { Picture } from "../radiograph/picture.ts";
import type { Codecs } from "./codecs.ts";
import { tooLarge, UnreadablePictureError } from "./errors.ts";
import type { Limits } from "./limits.ts";
import { defaultLimits } from "./limits.ts";
import { recogniseFormat } from "./registry.ts";

/**
 * Decode a picture file. The kind is found from the bytes, never from a name.
 *
 * @param bytes the whole file
 * @param options codecs from the shell; limits (defaults: limits.ts); page, from 0
 * @returns samples as stored: not rescaled, not inverted, not rotated
 * @throws UnreadablePictureError with a code, and nothing else, for any bytes
 * @see docs/methods/reading.md
 */
export async function readPicture(
  bytes: Uint8Array,
  options: { readonly codecs: Codecs; readonly limits?: Partial<Limits>; readonly page?: number },
): Promise<Picture> {
  const limits = { ...defaultLimits, ...options.limits };
  if (bytes.length === 0) {
    throw new UnreadablePictureError("empty-file", {
      expected: "a picture",
      received: "The file is empty (0 bytes)",
      nextStep: "Copy the file again from where it was made",
    });
  }
  if (bytes.length > limits.maxFileBytes) {
    throw tooLarge(`a file of at most ${limits.maxFileBytes} bytes`, `The file has ${bytes.length} bytes`);
  }
  const format = recogniseFormat(bytes);
  if (format === undefined) {
    throw new UnreadablePictureError("unknown-format", {
      expected: "TIFF, PNG or JPEG",
      received: "The first bytes belong to no picture format known here",
      nextStep: "Headerless raw samples need their width, height and type: save them as TIFF",
    });
  }
  if (format.read === undefined) {
    throw new UnreadablePictureError("unsupported-format", {
      expected: "TIFF, PNG or JPEG",
      received: `The file is ${format.name}, which is not read yet`,
      nextStep: format.nextStep,
    });
  }
  const { codecs, page } = options;
  return format.read(bytes, page === undefined ? { codecs, limits } : { codecs, limits, page });
}
