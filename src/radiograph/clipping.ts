import type { GreyHistogram } from "./grey-histogram.ts";

/** Stored values at and beyond which samples are clipped; null where nothing clips. */
export interface ClipLevels {
  readonly low: number | null;
  readonly high: number | null;
}

/** A spike holds at least this share of the samples. */
const SPIKE_SHARE = 0.0005;
/** Samples beyond a spike (hot pixels, marks) that don't argue against it. */
const BEYOND_SHARE = 0.0002;
/** Levels inside the spike it is compared with. */
const NEIGHBOURS = 6;
/** How far a spike must stand above them, at a value where converters end, and elsewhere. */
const FACTOR_AT_CEILING = 2;
const FACTOR_ELSEWHERE = 10;

/**
 * Finds clip levels as spikes of identical values at the ends of the used range, wherever that range
 * ends: a 12-bit ceiling in a 16-bit file, 255 in an 8-bit one, a 9-bit one at 4088.
 *
 * A smooth background peak doesn't count: its last level is the thin end of a tail, never far above
 * the levels before it. Away from a converter's natural end the spike must also stand on a populated
 * slope (noise spreads samples over the levels before it), so that a noise-free drawing with one
 * background value is not called clipped.
 *
 * @param histogram exact or binned counts
 * @param stepGrey grey step from {@link greyStep}; 0 for fractional data
 */
export function clipLevels(histogram: GreyHistogram, stepGrey: number): ClipLevels {
  const stepBins = histogram.exact ? Math.max(1, Math.round(stepGrey / histogram.binGrey)) : 1;
  return { low: spike(histogram, stepBins, -1), high: spike(histogram, stepBins, 1) };
}

function spike(histogram: GreyHistogram, stepBins: number, side: -1 | 1): number | null {
  const { counts, total, originGrey, binGrey } = histogram;
  const end = side === 1 ? counts.length - 1 : 0;
  let beyond = 0;
  let checked = 0;
  for (let bin = end; bin >= 0 && bin < counts.length; bin -= side) {
    const n = counts[bin];
    if (n === 0) continue;
    if (n >= SPIKE_SHARE * total && isSpike(histogram, bin, stepBins, side))
      return originGrey + bin * binGrey;
    beyond += n;
    checked++;
    if (beyond > BEYOND_SHARE * total || checked > 64) return null;
  }
  return null;
}

function isSpike(histogram: GreyHistogram, bin: number, stepBins: number, side: -1 | 1): boolean {
  const { counts, originGrey, binGrey, exact } = histogram;
  const n = counts[bin];
  let highest = 0;
  let used = 0;
  let inner = bin - side;
  // The first level inside need not be a whole step away: a ceiling sits anywhere.
  const start = inner;
  for (let k = 1; k <= NEIGHBOURS; k++) {
    let inStep = 0;
    const stop = start - side * (k * stepBins - 1);
    for (; side === 1 ? inner >= stop : inner <= stop; inner -= side) {
      if (inner < 0 || inner >= counts.length) break;
      inStep += counts[inner];
    }
    if (inStep > 0) used++;
    if (inStep > highest) highest = inStep;
  }
  const grey = originGrey + bin * binGrey;
  if (exact && isConverterEnd(grey, stepBins, side)) return n >= FACTOR_AT_CEILING * highest;
  return used >= NEIGHBOURS - 1 && n >= FACTOR_ELSEWHERE * highest;
}

/** True where converters end: 0 below; 2^k - 1 or the last whole step under 2^k above. */
function isConverterEnd(grey: number, step: number, side: -1 | 1): boolean {
  if (side === -1) return grey >= 0 && grey < step;
  for (const bits of [8, 9, 10, 11, 12, 13, 14, 15, 16]) {
    const full = 2 ** bits;
    if (grey < full && grey >= full - step) return true;
  }
  return false;
}
