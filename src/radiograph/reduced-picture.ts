import type { Samples } from "./picture.ts";

/** Block means of a picture: each cell covers `factorPx` x `factorPx` samples (the ragged rim is dropped). */
export interface ReducedPicture {
  readonly width: number;
  readonly height: number;
  readonly factorPx: number;
  readonly mean: Float32Array;
  /** Highest and lowest sample in each cell, to see whether clipping touched it. */
  readonly min: Float32Array;
  readonly max: Float32Array;
}

/**
 * Averages whole blocks so that the longer side has at most about `longSide` cells.
 *
 * Samples that are no number are left out; a cell without any holds NaN, which callers skip.
 */
export function reducePicture(
  samples: Samples,
  widthPx: number,
  heightPx: number,
  longSide: number,
): ReducedPicture {
  const factorPx = Math.max(1, Math.ceil(Math.max(widthPx, heightPx) / longSide));
  const width = Math.max(1, Math.floor(widthPx / factorPx));
  const height = Math.max(1, Math.floor(heightPx / factorPx));
  const mean = new Float32Array(width * height);
  const min = new Float32Array(width * height);
  const max = new Float32Array(width * height);
  const acrossPx = Math.min(factorPx, widthPx);
  const downPx = Math.min(factorPx, heightPx);
  for (let cy = 0; cy < height; cy++) {
    for (let cx = 0; cx < width; cx++) {
      let sum = 0;
      let n = 0;
      let lowest = Number.POSITIVE_INFINITY;
      let highest = Number.NEGATIVE_INFINITY;
      for (let y = cy * factorPx; y < cy * factorPx + downPx; y++) {
        const start = y * widthPx + cx * factorPx;
        for (let i = start; i < start + acrossPx; i++) {
          const v = samples[i];
          if (v - v !== 0) continue;
          sum += v;
          n++;
          if (v < lowest) lowest = v;
          if (v > highest) highest = v;
        }
      }
      const cell = cy * width + cx;
      mean[cell] = sum / n;
      min[cell] = lowest;
      max[cell] = highest;
    }
  }
  return { width, height, factorPx, mean, min, max };
}
