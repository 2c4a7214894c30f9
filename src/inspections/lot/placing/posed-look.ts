import type { AffineMap } from "../../../align/similarity.ts";

/** A part as it looks in one of the poses it may lie in. */
export interface PosedLook {
  /** Frame pixel -> patch pixel. */
  readonly map: AffineMap;
  /** Values in the frame at places common to all looks of the lot; NaN where nothing is known. */
  readonly values: Float32Array;
  /** The pose to prefer where several are as likely: the least. */
  readonly strangeness: number;
  /** How far it is from lying on the reference part: the least of a part's poses fits best. */
  readonly misfit: number;
  /** Whether one pair of pictures cannot tell it from the best pose. */
  readonly near: boolean;
}
