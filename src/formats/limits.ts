import { tooLarge } from "./errors.ts";

/** Bounds that are checked before anything is allocated. */
export interface Limits {
  /** Pixels in one page, all channels of a pixel counting once. */
  readonly maxPixels: number;
  /** Bytes of the file itself. */
  readonly maxFileBytes: number;
  /** File bytes, working copies and decoded samples together. */
  readonly maxMemoryBytes: number;
  /** Samples in one pixel. */
  readonly maxChannels: number;
  /** Pages that a file may list. */
  readonly maxPages: number;
}

const mebibyte = 1024 * 1024;

/**
 * Defaults that keep one read under 1 GiB in all: 120 million 16-bit pixels take 229 MiB of samples
 * and as much again for an uncompressed file; 896 MiB leaves 128 MiB for the runtime.
 */
export const defaultLimits: Limits = {
  maxPixels: 120_000_000,
  maxFileBytes: 512 * mebibyte,
  maxMemoryBytes: 896 * mebibyte,
  maxChannels: 16,
  maxPages: 65_536,
};

/** @throws UnreadablePictureError too-large when the page has more pixels than allowed */
export function checkPixels(widthPx: number, heightPx: number, limits: Limits): void {
  if (widthPx * heightPx > limits.maxPixels) {
    throw tooLarge(
      `at most ${limits.maxPixels} pixels`,
      `The picture claims ${widthPx} x ${heightPx} = ${widthPx * heightPx} pixels`,
    );
  }
}

/** @throws UnreadablePictureError too-large when file, copies and samples together pass the limit */
export function checkMemory(needBytes: number, limits: Limits): void {
  if (needBytes > limits.maxMemoryBytes) {
    const toMebibytes = (bytes: number): string => `${Math.ceil(bytes / mebibyte)} MiB`;
    throw tooLarge(
      `at most ${toMebibytes(limits.maxMemoryBytes)} of memory for one picture`,
      `Decoding would take ${toMebibytes(needBytes)}`,
    );
  }
}
