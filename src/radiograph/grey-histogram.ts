import type { Samples } from "./picture.ts";

/** How often each grey occurs. Bin i holds samples near `originGrey + i * binGrey`. */
export interface GreyHistogram {
  readonly counts: Uint32Array;
  readonly originGrey: number;
  readonly binGrey: number;
  /** Finite samples counted. */
  readonly total: number;
  /** Samples that are no number (NaN or infinite, in float files). */
  readonly notFinite: number;
  /** True when every bin is one stored value (integer data with at most 65536 levels between its ends). */
  readonly exact: boolean;
  readonly minGrey: number;
  readonly maxGrey: number;
}

const MAX_BINS = 65536;

/**
 * Histogram over all samples. Integer-valued data keep one bin per value; wide or fractional data
 * share 65536 even bins between their ends.
 */
export function greyHistogram(samples: Samples): GreyHistogram {
  if (samples instanceof Uint8Array) return countUnsigned(samples, 256);
  if (samples instanceof Uint16Array) return countUnsigned(samples, 65536);
  return countAny(samples);
}

function countUnsigned(samples: Uint8Array | Uint16Array, levels: number): GreyHistogram {
  const all = new Uint32Array(levels);
  // Two tables in turn: long runs of one value don't wait for their own last count.
  const other = new Uint32Array(levels);
  const even = samples.length & ~1;
  for (let i = 0; i < even; i += 2) {
    all[samples[i]]++;
    other[samples[i + 1]]++;
  }
  if (even < samples.length) all[samples[even]]++;
  for (let v = 0; v < levels; v++) all[v] += other[v];
  let first = 0;
  let last = levels - 1;
  while (first < last && all[first] === 0) first++;
  while (last > first && all[last] === 0) last--;
  return {
    counts: all.subarray(first, last + 1),
    originGrey: first,
    binGrey: 1,
    total: samples.length,
    notFinite: 0,
    exact: true,
    minGrey: first,
    maxGrey: last,
  };
}

function countAny(samples: Samples): GreyHistogram {
  let min = Number.POSITIVE_INFINITY;
  let max = Number.NEGATIVE_INFINITY;
  let whole = true;
  let total = 0;
  for (let i = 0; i < samples.length; i++) {
    const v = samples[i];
    if (!Number.isFinite(v)) continue;
    total++;
    if (v < min) min = v;
    if (v > max) max = v;
    if (whole && v !== Math.floor(v)) whole = false;
  }
  const notFinite = samples.length - total;
  if (total === 0) {
    return {
      counts: new Uint32Array(1),
      originGrey: 0,
      binGrey: 1,
      total,
      notFinite,
      exact: false,
      minGrey: 0,
      maxGrey: 0,
    };
  }
  const exact = whole && max - min < MAX_BINS;
  const binGrey = exact || max === min ? 1 : (max - min) / (MAX_BINS - 1);
  const counts = new Uint32Array(exact ? max - min + 1 : max === min ? 1 : MAX_BINS);
  for (let i = 0; i < samples.length; i++) {
    const v = samples[i];
    if (Number.isFinite(v)) counts[Math.round((v - min) / binGrey)]++;
  }
  return { counts, originGrey: min, binGrey, total, notFinite, exact, minGrey: min, maxGrey: max };
}

/** Share (0..1) of samples equal to, or in the bin of, `grey`. */
export function shareAtGrey(histogram: GreyHistogram, grey: number): number {
  const bin = Math.round((grey - histogram.originGrey) / histogram.binGrey);
  return bin < 0 || bin >= histogram.counts.length ? 0 : histogram.counts[bin] / Math.max(1, histogram.total);
}
