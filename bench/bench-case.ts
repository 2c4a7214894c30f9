import type { Image, Mask } from "../src/numeric/image.ts";

/** A named picture size. */
export interface BenchSize {
  readonly name: string;
  readonly width: number;
  readonly height: number;
}

/** What every case gets: the same invented pictures that the Python reference reads from `folder`. */
export interface BenchInput {
  readonly size: BenchSize;
  /** Attenuation-like picture with blobs, edges and noise: `image.f32` in the folder, row-major. */
  readonly image: Image;
  /** The same as 16-bit detector samples: `samples.u16`. */
  readonly samples: Uint16Array;
  /** What of `image` is above 0.5: `mask.u8`. */
  readonly mask: Mask;
  /** Where a case may put further files for its reference (absolute path, exists). */
  readonly folder: string;
}

/** One thing to time. */
export interface BenchCase {
  /** Shown in the table, and the key of its reference in bench/reference.py. */
  readonly name: string;
  /** Prepares (not timed) and returns what is timed. */
  setup(input: BenchInput): () => unknown;
  /** The plain version of the same step, timed beside it when given. */
  plain?(input: BenchInput): () => unknown;
  /** Sizes it runs at; all when left out. Pick one for cases that bring their own pictures. */
  readonly sizes?: readonly string[];
  /** Timed runs when not every run should count (long cases); else the runner's choice. */
  readonly runs?: number;
}

/** The sizes: a device picture of six megapixels, and a small detector. */
export const benchSizes: readonly BenchSize[] = [
  { name: "3000x2000", width: 3000, height: 2000 },
  { name: "1700x1272", width: 1700, height: 1272 },
];
