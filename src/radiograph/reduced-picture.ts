import type { Samples } from "./picture.ts";

/** Block means of a picture: each cell covers `factorPx` x `factorPx` samples (the ragged rim is dropped). */
export interface ReducedPicture {
  readonly width: number;
  readonly height: number;
  readonly factorPx: number;
  readonly mean: Float32Array;
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
  const across = Math.min(factorPx, widthPx);
  const down = Math.min(factorPx, heightPx);
  const mean = new Float32Array(width * height);
  const mayHaveHoles = samples instanceof Float32Array || samples instanceof Float64Array;
  const sums = new Float64Array(width);
  for (let cy = 0; cy < height; cy++) {
    sums.fill(0);
    for (let y = cy * factorPx; y < cy * factorPx + down; y++) {
      let i = y * widthPx;
      for (let cx = 0; cx < width; cx++, i += factorPx) {
        let sum = 0;
        for (let k = i; k < i + across; k++) sum += samples[k];
        sums[cx] += sum;
      }
    }
    for (let cx = 0; cx < width; cx++) {
      const whole = sums[cx] / (across * down);
      const holed = mayHaveHoles && !Number.isFinite(whole);
      mean[cy * width + cx] = holed
        ? meanOfNumbers(samples, widthPx, cx * factorPx, cy * factorPx, across, down)
        : whole;
    }
  }
  return { width, height, factorPx, mean };
}

function meanOfNumbers(
  samples: Samples,
  widthPx: number,
  left: number,
  top: number,
  across: number,
  down: number,
): number {
  let sum = 0;
  let n = 0;
  for (let y = top; y < top + down; y++) {
    for (let x = left; x < left + across; x++) {
      const v = samples[y * widthPx + x];
      if (!Number.isFinite(v)) continue;
      sum += v;
      n++;
    }
  }
  return n === 0 ? Number.NaN : sum / n;
}
