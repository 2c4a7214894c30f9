import type { Mask } from "../../../numeric/image.ts";
import { median } from "../../../numeric/order.ts";

/** Rows or columns in a row that may be missing (a wire crossing) without ending the solid part. */
const bridged = 3;

/** An upright rectangle of whole pixels: [first, last] in x and y. */
export interface SolidRange {
  readonly x: readonly [first: number, last: number];
  readonly y: readonly [first: number, last: number];
}

/**
 * The rows and columns of a mask that are filled at least `share` as well as its middling ones:
 * the solid rectangle in a shape with bars, wires or notches at its sides.
 *
 * @returns null for an empty mask
 */
export function solidRange(mask: Mask, share = 0.6): SolidRange | null {
  let x: [number, number] = [0, mask.width - 1];
  let y: [number, number] = [0, mask.height - 1];
  for (let round = 0; round < 3; round++) {
    const rows = longestFilled(countRows(mask, x, y), share);
    if (!rows) return null;
    y = [y[0] + rows[0], y[0] + rows[1]];
    const columns = longestFilled(countColumns(mask, x, y), share);
    if (!columns) return null;
    x = [x[0] + columns[0], x[0] + columns[1]];
  }
  return { x, y };
}

function countRows(mask: Mask, x: readonly [number, number], y: readonly [number, number]): Float64Array {
  const counts = new Float64Array(y[1] - y[0] + 1);
  for (let j = y[0]; j <= y[1]; j++) {
    for (let i = x[0]; i <= x[1]; i++)
      counts[j - y[0]] = (counts[j - y[0]] as number) + (mask.data[j * mask.width + i] as number);
  }
  return counts;
}

function countColumns(mask: Mask, x: readonly [number, number], y: readonly [number, number]): Float64Array {
  const counts = new Float64Array(x[1] - x[0] + 1);
  for (let j = y[0]; j <= y[1]; j++) {
    for (let i = x[0]; i <= x[1]; i++)
      counts[i - x[0]] = (counts[i - x[0]] as number) + (mask.data[j * mask.width + i] as number);
  }
  return counts;
}

function longestFilled(counts: Float64Array, share: number): [number, number] | null {
  const filled = Array.from(counts).filter((n) => n > 0);
  if (!filled.length) return null;
  const least = share * median(filled);
  let best: [number, number] = [0, -1];
  let first = -1;
  let last = -1;
  for (let k = 0; k < counts.length; k++) {
    if ((counts[k] as number) < least) continue;
    if (first < 0 || k - last > bridged + 1) first = k;
    last = k;
    if (last - first > best[1] - best[0]) best = [first, last];
  }
  return best[1] < best[0] ? null : best;
}
