import { RangeOfArgumentError } from "./errors.ts";
import type { Values } from "./order.ts";

/** Counts in equal bins: bin i covers `low + i * binWidth` up to, not including, the next; the last includes `high`. */
export interface Histogram {
  readonly low: number;
  readonly high: number;
  readonly binWidth: number;
  readonly counts: Float64Array;
}

/** Counts values between `low` and `high`; values outside, and NaN, are left out. */
export function histogram(values: Values, bins: number, low: number, high: number): Histogram {
  if (!Number.isInteger(bins) || bins < 1)
    throw new RangeOfArgumentError("bins", "a whole number, 1 or more", bins);
  if (!(high > low)) throw new RangeOfArgumentError("high", `above low (${low})`, high);
  const counts = new Float64Array(bins);
  const scale = bins / (high - low);
  for (let i = 0; i < values.length; i++) {
    const value = values[i];
    if (value >= low && value <= high) counts[Math.min(bins - 1, Math.floor((value - low) * scale))]++;
  }
  return { low, high, binWidth: (high - low) / bins, counts };
}

/**
 * Otsu's threshold: the bin edge of largest variance between the two classes. A value below it is background, at or
 * above it foreground. Across a gap where every edge is equally good, the middle of the gap.
 *
 * Source: Otsu, IEEE Trans. SMC 9 (1979) 62 (from memory); values checked against scikit-image.
 */
export function otsuThreshold(of: Histogram): number {
  return multiOtsu(of, 2)[0];
}

/**
 * Thresholds that split a histogram into `classes` classes of largest between-class variance, by dynamic programming
 * over bins (exact; cost classes * bins^2).
 *
 * @returns `classes - 1` ascending bin edges
 * @throws RangeOfArgumentError when fewer bins are filled than classes asked for
 */
export function multiOtsu(of: Histogram, classes: number): number[] {
  const filled: number[] = [];
  for (let i = 0; i < of.counts.length; i++) if (of.counts[i] > 0) filled.push(i);
  const n = filled.length;
  if (!Number.isInteger(classes) || classes < 2 || classes > n) {
    throw new RangeOfArgumentError("classes", `a whole number from 2 to the ${n} filled bins`, classes);
  }
  const weight = new Float64Array(n + 1);
  const moment = new Float64Array(n + 1);
  for (let i = 0; i < n; i++) {
    weight[i + 1] = weight[i] + of.counts[filled[i]];
    moment[i + 1] = moment[i] + of.counts[filled[i]] * filled[i];
  }
  // Between-class variance is, up to constants, the sum over classes of (sum of values)^2 / count.
  const score = (from: number, to: number) => (moment[to] - moment[from]) ** 2 / (weight[to] - weight[from]);
  let best = Float64Array.from({ length: n + 1 }, (_, to) =>
    to > 0 ? score(0, to) : Number.NEGATIVE_INFINITY,
  );
  const cuts: Int32Array[] = [];
  for (let k = 2; k <= classes; k++) {
    const next = new Float64Array(n + 1).fill(Number.NEGATIVE_INFINITY);
    const cut = new Int32Array(n + 1);
    for (let to = k; to <= n; to++) {
      for (let from = k - 1; from < to; from++) {
        const value = best[from] + score(from, to);
        if (value > next[to]) {
          next[to] = value;
          cut[to] = from;
        }
      }
    }
    cuts.push(cut);
    best = next;
  }
  const thresholds: number[] = [];
  let to = n;
  for (let k = classes - 2; k >= 0; k--) {
    to = cuts[k][to];
    thresholds.unshift(of.low + (of.binWidth * (filled[to - 1] + 1 + filled[to])) / 2);
  }
  return thresholds;
}
