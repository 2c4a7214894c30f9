import { RangeOfArgumentError } from "./errors.ts";

/** Numbers to be put in order: any array of finite numbers. */
export type Values = Float32Array | Float64Array | Uint8Array | Uint16Array | Int32Array | readonly number[];

type Working = Float32Array | Float64Array;

/** From this many 32-bit values on, counting by leading bits beats reordering a copy. */
const COUNTED_FROM = 4096;

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

/** Leading 16 bits of a float's pattern, turned without a branch so that they order as the floats do. */
function orderedBits(pattern: number): number {
  return (pattern ^ ((pattern >> 31) | 0x80000000)) >>> 16;
}

/**
 * The k-th and the next smallest of many 32-bit values without reordering them all: counts leading bits, then selects
 * among the values that share the k-th one's.
 */
function selectCounted(values: Float32Array, k: number): readonly [number, number] {
  const patterns = new Int32Array(values.buffer, values.byteOffset, values.length);
  const counts = new Uint32Array(65536);
  for (let i = 0; i < patterns.length; i++) counts[orderedBits(patterns[i])]++;
  let before = 0;
  let bin = 0;
  while (before + counts[bin] <= k) before += counts[bin++];
  const sharing = valuesInBin(values, patterns, bin, counts[bin]);
  const lower = selectInPlace(sharing, k - before);
  if (k + 1 >= values.length) return [lower, lower];
  if (k + 1 < before + sharing.length) return [lower, smallest(sharing.subarray(k - before + 1))];
  let next = bin + 1;
  while (counts[next] === 0) next++;
  return [lower, smallest(valuesInBin(values, patterns, next, counts[next]))];
}

function valuesInBin(values: Float32Array, patterns: Int32Array, bin: number, count: number): Float32Array {
  const sharing = new Float32Array(count);
  for (let i = 0, n = 0; n < count; i++) {
    if (orderedBits(patterns[i]) === bin) sharing[n++] = values[i];
  }
  return sharing;
}

function smallest(values: Working): number {
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < values.length; i++) if (values[i] < least) least = values[i];
  return least;
}

function quantileInPlace(working: Working, q: number): number {
  const position = q * (working.length - 1);
  const k = Math.floor(position);
  const lower = selectInPlace(working, k);
  if (position === k) return lower;
  const upper = smallest(working.subarray(k + 1));
  return lower + (position - k) * (upper - lower);
}

function quantileCounted(values: Float32Array, q: number): number {
  const position = q * (values.length - 1);
  const k = Math.floor(position);
  const [lower, upper] = selectCounted(values, k);
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
  if (values.length === 0) throw new RangeOfArgumentError("values", "at least one number", "none");
  if (!(values instanceof Float32Array)) return quantileInPlace(Float64Array.from(values), q);
  return values.length < COUNTED_FROM ? quantileInPlace(values.slice(), q) : quantileCounted(values, q);
}

/** Middle value; the mean of the middle two for an even count. */
export function median(values: Values): number {
  return quantile(values, 0.5);
}

/** Median absolute deviations in the standard deviation of a normal distribution: 1 / 0.6745. */
export const madsPerSigma = 1.4826;

/**
 * Median of |value - centre|, not scaled. For normal data the standard deviation is about `madsPerSigma` times this.
 *
 * @param centre the median of the values unless given
 */
export function medianAbsoluteDeviation(values: Values, centre: number = median(values)): number {
  if (values.length === 0) throw new RangeOfArgumentError("values", "at least one number", "none");
  const distances = values instanceof Float32Array ? values.slice() : Float64Array.from(values);
  for (let i = 0; i < distances.length; i++) distances[i] = Math.abs(distances[i] - centre);
  return quantile(distances, 0.5);
}

/** Standard deviation of the middle of the values, by their median absolute deviation; 0 for no values. */
export function robustSpread(values: Values, centre?: number): number {
  return values.length ? madsPerSigma * medianAbsoluteDeviation(values, centre) : 0;
}
