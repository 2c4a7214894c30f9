import { RangeOfArgumentError } from "./errors.ts";

/** Numbers to be put in order: any array of finite numbers. */
export type Values = Float32Array | Float64Array | Uint8Array | Uint16Array | Int32Array | readonly number[];

type Working = Float32Array | Float64Array;

/** Reorders `values` so that index `k` holds what it would hold if sorted; smaller before, larger after. */
function selectInPlace(values: Working, k: number): number {
  let low = 0;
  let high = values.length - 1;
  while (low < high) {
    const pivot = middleOfThree(values[low], values[(low + high) >> 1], values[high]);
    let i = low;
    let j = high;
    while (i <= j) {
      while (values[i] < pivot) i++;
      while (values[j] > pivot) j--;
      if (i <= j) {
        const swap = values[i];
        values[i++] = values[j];
        values[j--] = swap;
      }
    }
    if (k <= j) high = j;
    else if (k >= i) low = i;
    else break;
  }
  return values[k];
}

function middleOfThree(p: number, q: number, r: number): number {
  return Math.max(Math.min(p, q), Math.min(Math.max(p, q), r));
}

function workingCopy(values: Values): Working {
  if (values.length === 0) throw new RangeOfArgumentError("values", "at least one number", "none");
  return values instanceof Float32Array ? values.slice() : Float64Array.from(values);
}

function quantileInPlace(working: Working, q: number): number {
  const position = q * (working.length - 1);
  const k = Math.floor(position);
  const lower = selectInPlace(working, k);
  if (position === k) return lower;
  let upper = Number.POSITIVE_INFINITY;
  for (let i = k + 1; i < working.length; i++) if (working[i] < upper) upper = working[i];
  return lower + (position - k) * (upper - lower);
}

/**
 * Quantile with linear interpolation between order statistics (numpy's default, type 7). The input keeps its order.
 *
 * @param values finite numbers
 * @param q 0..1
 * @throws RangeOfArgumentError for no values or q outside 0..1
 */
export function quantile(values: Values, q: number): number {
  if (!(q >= 0 && q <= 1)) throw new RangeOfArgumentError("q", "between 0 and 1", q);
  return quantileInPlace(workingCopy(values), q);
}

/** Middle value; the mean of the middle two for an even count. */
export function median(values: Values): number {
  return quantileInPlace(workingCopy(values), 0.5);
}

/**
 * Median of |value - centre|, not scaled. For normal data the standard deviation is about 1.4826 times this.
 *
 * @param centre the median of the values unless given
 */
export function medianAbsoluteDeviation(values: Values, centre: number = median(values)): number {
  const working = Float64Array.from(values);
  if (working.length === 0) throw new RangeOfArgumentError("values", "at least one number", "none");
  for (let i = 0; i < working.length; i++) working[i] = Math.abs(working[i] - centre);
  return quantileInPlace(working, 0.5);
}
