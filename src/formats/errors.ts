/** Why a file could not be read as a picture. docs/methods/reading.md explains each. */
export const unreadableCodes = [
  "empty-file",
  "unknown-format",
  "unsupported-format",
  "unsupported-feature",
  "no-such-page",
  "truncated",
  "damaged",
  "too-large",
] as const;

export type UnreadableCode = (typeof unreadableCodes)[number];

/** What an inspector is told about a file that gives no pixels. */
export interface UnreadableDetail {
  /** What the reader looked for, as the end of "expected ...". */
  readonly expected: string;
  /** What the file holds, as a sentence without its full stop. */
  readonly received: string;
  /** What to do about it, as a sentence without its full stop. */
  readonly nextStep: string;
  readonly cause?: unknown;
}

/** The one error every reader throws: the file ends in no pixels, and the reason is for a person. */
export class UnreadablePictureError extends Error {
  readonly code: UnreadableCode;
  readonly expected: string;
  readonly received: string;
  readonly nextStep: string;

  constructor(code: UnreadableCode, detail: UnreadableDetail) {
    const { expected, received, nextStep, cause } = detail;
    super(`${received}; expected ${expected}. ${nextStep}.`, cause === undefined ? undefined : { cause });
    this.name = "UnreadablePictureError";
    this.code = code;
    this.expected = expected;
    this.received = received;
    this.nextStep = nextStep;
  }
}

/** The file has a feature that no reader here handles; `feature` names it: "TIFF with JPEG compression". */
export function unsupportedFeature(
  feature: string,
  expected: string,
  nextStep = "Save the picture again as uncompressed 16-bit greyscale TIFF",
): UnreadablePictureError {
  return new UnreadablePictureError("unsupported-feature", {
    expected,
    received: `${feature} is not read yet`,
    nextStep,
  });
}

/** The file stops before its contents do. */
export function truncated(haveBytes: number, needBytes: number, what: string): UnreadablePictureError {
  return new UnreadablePictureError("truncated", {
    expected: `at least ${needBytes} bytes for ${what}`,
    received: `The file ends early: ${haveBytes} of ${needBytes} bytes`,
    nextStep: "Copy the file again from where it was made",
  });
}

/** The bytes contradict the format or themselves. */
export function damaged(expected: string, received: string, cause?: unknown): UnreadablePictureError {
  return new UnreadablePictureError("damaged", {
    expected,
    received,
    nextStep: "Copy or export the file again; if it stays unreadable the original is damaged",
    ...(cause === undefined ? {} : { cause }),
  });
}

/** Reading would take more than the limits allow. */
export function tooLarge(expected: string, received: string): UnreadablePictureError {
  return new UnreadablePictureError("too-large", {
    expected,
    received,
    nextStep: "Crop or split the picture, or raise the limit if the machine has the memory",
  });
}
