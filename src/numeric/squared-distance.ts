import type { Mask } from "./image.ts";
import { assertShape } from "./shape.ts";

/** Squared distance given where no pixel of the sought kind exists: more than any picture's diagonal squared. */
export const NO_SUCH_PIXEL = 0x7fffffff;

/** Distance standing for "none in this column" while it is still to be squared. */
const FAR = 40000;

/**
 * Squared Euclidean distance from every pixel to the nearest pixel whose selection equals `sought`, exact.
 * Nothing is assumed outside the picture.
 *
 * Two passes: distances down columns, then along rows the lower envelope of parabolas (Felzenszwalb and Huttenlocher,
 * Theory of Computing 8, 2012; from memory), each stretch between two sought pixels on its own.
 * @returns row-major squared distances; `NO_SUCH_PIXEL` everywhere when there is no such pixel
 */
export function squaredDistanceTo(mask: Mask, sought: 0 | 1): Int32Array {
  assertShape(mask);
  const { width, height, data } = mask;
  const squared = new Int32Array(width * height);
  const gap = new Int32Array(width).fill(FAR);
  const wantSelected = sought === 1;
  for (let y = 0; y < height; y++) {
    for (let x = 0, i = y * width; x < width; x++, i++) {
      const distance = (data[i] !== 0) === wantSelected ? 0 : gap[x] + 1;
      gap[x] = distance;
      squared[i] = distance;
    }
  }
  gap.fill(FAR);
  for (let y = height - 1; y >= 0; y--) {
    for (let x = 0, i = y * width; x < width; x++, i++) {
      const distance = Math.min(squared[i], gap[x] + 1);
      gap[x] = distance;
      squared[i] = distance < FAR ? distance * distance : NO_SUCH_PIXEL;
    }
  }
  const row = new Int32Array(width);
  const centres = new Int32Array(width);
  const bounds = new Float64Array(width + 1);
  for (let y = 0; y < height; y++) {
    const base = y * width;
    for (let x = 0; x < width; x++) {
      if (squared[base + x] === 0) continue;
      const start = x;
      while (x < width && squared[base + x] !== 0) x++;
      envelope(squared, base, Math.max(0, start - 1), Math.min(width - 1, x), row, centres, bounds);
    }
  }
  return squared;
}

/** Lower envelope over columns `first` to `last` of one row, in place. */
function envelope(
  squared: Int32Array,
  base: number,
  first: number,
  last: number,
  row: Int32Array,
  centres: Int32Array,
  bounds: Float64Array,
): void {
  let top = -1;
  for (let x = first; x <= last; x++) {
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
  for (let x = first; x <= last; x++) {
    while (bounds[k + 1] < x) k++;
    const away = x - centres[k];
    squared[base + x] = away * away + row[centres[k]];
  }
}
