import type { Mask } from "./image.ts";
import { assertShape } from "./shape.ts";

/** Squared distance given where no pixel of the sought kind exists. */
const NO_SUCH_PIXEL = Number.POSITIVE_INFINITY;

/**
 * Squared Euclidean distance from every pixel to the nearest pixel whose selection equals `sought`, exact.
 * Nothing is assumed outside the picture.
 *
 * Two passes: distances down columns, then the lower envelope of parabolas along rows
 * (Felzenszwalb and Huttenlocher, Theory of Computing 8, 2012; from memory).
 * @returns row-major squared distances; `Infinity` everywhere when no such pixel exists
 */
export function squaredDistanceTo(mask: Mask, sought: 0 | 1): Float64Array {
  assertShape(mask);
  const { width, height, data } = mask;
  const squared = new Float64Array(width * height);
  const gap = new Float64Array(width).fill(NO_SUCH_PIXEL);
  const isSought = (i: number) => (data[i] !== 0 ? 1 : 0) === sought;
  for (let y = 0; y < height; y++) {
    for (let x = 0, i = y * width; x < width; x++, i++) squared[i] = gap[x] = isSought(i) ? 0 : gap[x] + 1;
  }
  gap.fill(NO_SUCH_PIXEL);
  for (let y = height - 1; y >= 0; y--) {
    for (let x = 0, i = y * width; x < width; x++, i++) {
      gap[x] = Math.min(gap[x] + 1, squared[i]);
      squared[i] = gap[x] * gap[x];
    }
  }
  const centres = new Int32Array(width);
  const bounds = new Float64Array(width + 1);
  const row = new Float64Array(width);
  for (let y = 0; y < height; y++) envelopeOfRow(squared, y * width, row, centres, bounds);
  return squared;
}

function envelopeOfRow(
  squared: Float64Array,
  base: number,
  row: Float64Array,
  centres: Int32Array,
  bounds: Float64Array,
): void {
  const width = row.length;
  let top = -1;
  for (let x = 0; x < width; x++) {
    const value = squared[base + x];
    row[x] = value;
    if (value === NO_SUCH_PIXEL) continue;
    let from = Number.NEGATIVE_INFINITY;
    while (top >= 0) {
      const c = centres[top];
      from = (value + x * x - row[c] - c * c) / (2 * (x - c));
      if (from > bounds[top]) break;
      top--;
      from = Number.NEGATIVE_INFINITY;
    }
    top++;
    centres[top] = x;
    bounds[top] = from;
  }
  if (top < 0) return;
  bounds[top + 1] = Number.POSITIVE_INFINITY;
  let k = 0;
  for (let x = 0; x < width; x++) {
    while (bounds[k + 1] < x) k++;
    const away = x - centres[k];
    squared[base + x] = away * away + row[centres[k]];
  }
}
