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
  /** The project's folder (absolute path). */
  readonly root: string;
}

/** Whether ours and the reference found the same. */
export interface Agreement {
  readonly agrees: boolean;
  /** In figures, with units. */
  readonly says: string;
}

/** A long job is run in a process of its own: once, from cold, and says what it took. */
export interface OwnProcessResult {
  readonly ms: number;
  /** All threads of the process together. */
  readonly cpuMs: number;
  /** Largest resident memory, the runtime included. */
  readonly peakMiB: number;
}

/** One thing to time. */
export interface BenchCase {
  /** Shown in the table, and the key of its reference in bench/reference.py unless `reference` names another. */
  readonly name: string;
  /** Key of the reference, where several cases stand beside the same one. */
  readonly reference?: string;
  /** Prepares (not timed) and returns what is timed. */
  setup(input: BenchInput): () => unknown;
  /** The plain version of the same step, timed beside it when given. */
  plain?(input: BenchInput): () => unknown;
  /** Sizes it runs at; all when left out. Pick one for cases that bring their own pictures. */
  readonly sizes?: readonly string[];
  /** Timed runs when not every run should count (long cases); else the runner's choice. */
  readonly runs?: number;
  /** Runs once and from cold on both sides; its run returns an `OwnProcessResult`. */
  readonly ownProcess?: boolean;
  /** What it needs and this machine lacks; null when nothing is missing. */
  missing?(root: string): string | null;
  /** Compares what both sides found: their last results, the reference's as JSON. */
  agree?(ours: unknown, reference: unknown, input: BenchInput): Agreement;
  /** Where the reference does less or more than ours: printed below the table. */
  readonly note?: string;
}

/** The sizes: a device picture of six megapixels, and a small detector. */
export const benchSizes: readonly BenchSize[] = [
  { name: "3000x2000", width: 3000, height: 2000 },
  { name: "1700x1272", width: 1700, height: 1272 },
];
