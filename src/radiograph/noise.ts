import type { ClipLevels } from "./clipping.ts";
import type { Samples } from "./picture.ts";

/** Noise variance of stored grey against grey: `variance = a + b * grey`. */
export interface GreyNoise {
  readonly a: number;
  readonly b: number;
  /** Never below this: the rounding noise of the grey step, step^2 / 12. */
  readonly floor: number;
  /** Correlation of the noise between neighbours in a row, 0 for white noise. */
  readonly neighbourCorrelation: number;
  readonly bins: readonly NoiseBin[];
}

/** Noise seen around one grey. */
export interface NoiseBin {
  readonly grey: number;
  readonly variance: number;
  readonly blocks: number;
}

const BLOCK_PX = 8;
const SAMPLES_IN_BLOCK = BLOCK_PX * BLOCK_PX;
const TARGET_BLOCKS = 12000;
const BIN_COUNT = 32;
const MIN_BLOCKS_IN_BIN = 8;
/** Quantile of block variances taken per bin: low, so that structure in most blocks doesn't count. */
const LOW_QUANTILE = 0.2;
const LOW_QUANTILE_Z = -0.8416;
/** Sum over an 8 x 8 block of the squared distance from its middle, along one axis. */
const AXIS_SUM = 336;

/**
 * Estimates noise against grey from 8 x 8 blocks spread over the picture.
 *
 * In each block the mean and plane are removed; the variance left is noise plus structure. Per grey
 * bin the 20 % quantile of these variances is taken, and raised to the mean by the chi-square
 * distribution with the block's effective degrees of freedom (fewer than 61 when neighbours are
 * correlated). A line is then fitted through the lower envelope of the bins.
 *
 * @param samples row-major, `widthPx * heightPx`
 * @param stepGrey grey step, 0 when none
 * @returns the fit; with no usable block, the rounding floor alone
 */
export function estimateGreyNoise(
  samples: Samples,
  widthPx: number,
  heightPx: number,
  clip: ClipLevels,
  stepGrey: number,
): GreyNoise {
  const floor = (stepGrey * stepGrey) / 12;
  const blocks = measureBlocks(samples, widthPx, heightPx, clip);
  if (blocks.count === 0) return { a: floor, b: 0, floor, neighbourCorrelation: 0, bins: [] };
  const { grey, variance, difference, count } = blocks;
  const sorted = grey.slice(0, count).sort();
  const low = sorted[Math.floor(0.001 * (count - 1))] as number;
  const high = sorted[Math.ceil(0.999 * (count - 1))] as number;
  const binGrey = Math.max((high - low) / BIN_COUNT, 1e-12);
  const members: number[][] = Array.from({ length: BIN_COUNT }, () => []);
  for (let i = 0; i < count; i++) {
    const bin = Math.floor(((grey[i] as number) - low) / binGrey);
    if (bin >= 0 && bin <= BIN_COUNT) (members[Math.min(bin, BIN_COUNT - 1)] as number[]).push(i);
  }
  const bins: NoiseBin[] = [];
  const quiet: number[] = [];
  for (const inBin of members) {
    if (inBin.length < Math.min(MIN_BLOCKS_IN_BIN, count)) continue;
    inBin.sort((p, q) => (variance[p] as number) - (variance[q] as number) || p - q);
    const cut = Math.floor(LOW_QUANTILE * (inBin.length - 1));
    let mean = 0;
    for (const i of inBin) mean += grey[i] as number;
    bins.push({
      grey: mean / inBin.length,
      variance: variance[inBin[cut] as number] as number,
      blocks: inBin.length,
    });
    for (let k = 0; k <= 2 * cut; k++) quiet.push(inBin[Math.min(k, inBin.length - 1)] as number);
  }
  const neighbourCorrelation = correlation(quiet, variance, difference);
  const raise = 1 / lowQuantileShare(effectiveFreedom(neighbourCorrelation));
  const raised = bins.map((bin) => ({ ...bin, variance: Math.max(bin.variance * raise, floor) }));
  return { ...fitEnvelope(raised), floor, neighbourCorrelation, bins: raised };
}

/** Standard deviation of the noise at `grey`. */
export function greySigma(noise: GreyNoise, grey: number): number {
  return Math.sqrt(Math.max(noise.a + noise.b * grey, noise.floor, 0));
}

interface Blocks {
  readonly count: number;
  readonly grey: Float64Array;
  readonly variance: Float64Array;
  /** Half the mean square difference of neighbours in a row. */
  readonly difference: Float64Array;
}

function measureBlocks(samples: Samples, widthPx: number, heightPx: number, clip: ClipLevels): Blocks {
  const across = Math.floor(widthPx / BLOCK_PX);
  const down = Math.floor(heightPx / BLOCK_PX);
  const skip = Math.max(1, Math.ceil(Math.sqrt((across * down) / TARGET_BLOCKS)));
  const capacity = Math.ceil(across / skip) * Math.ceil(down / skip);
  const grey = new Float64Array(capacity);
  const variance = new Float64Array(capacity);
  const difference = new Float64Array(capacity);
  const lowClip = clip.low ?? Number.NEGATIVE_INFINITY;
  const highClip = clip.high ?? Number.POSITIVE_INFINITY;
  let count = 0;
  for (let by = 0; by < down; by += skip) {
    for (let bx = 0; bx < across; bx += skip) {
      const corner = by * BLOCK_PX * widthPx + bx * BLOCK_PX;
      const origin = samples[corner] as number;
      let sum = 0;
      let squares = 0;
      let alongX = 0;
      let alongY = 0;
      let steps = 0;
      let usable = true;
      for (let y = 0; y < BLOCK_PX && usable; y++) {
        let previous = 0;
        for (let x = 0; x < BLOCK_PX; x++) {
          const raw = samples[corner + y * widthPx + x] as number;
          if (!(raw > lowClip && raw < highClip)) {
            usable = false;
            break;
          }
          const v = raw - origin;
          sum += v;
          squares += v * v;
          alongX += (x - 3.5) * v;
          alongY += (y - 3.5) * v;
          if (x > 0) steps += (v - previous) * (v - previous);
          previous = v;
        }
      }
      if (!usable) continue;
      grey[count] = origin + sum / SAMPLES_IN_BLOCK;
      const left = squares - (sum * sum) / SAMPLES_IN_BLOCK - (alongX * alongX + alongY * alongY) / AXIS_SUM;
      variance[count] = Math.max(0, left / (SAMPLES_IN_BLOCK - 3));
      const slope = alongX / AXIS_SUM;
      difference[count] = Math.max(0, steps / (BLOCK_PX * (BLOCK_PX - 1)) - slope * slope) / 2;
      count++;
    }
  }
  return { count, grey, variance, difference };
}

/** Neighbour correlation over the quiet blocks, clamped to what a detector can do. */
function correlation(quiet: readonly number[], variance: Float64Array, difference: Float64Array): number {
  let sumVariance = 0;
  let sumDifference = 0;
  for (const i of quiet) {
    sumVariance += variance[i] as number;
    sumDifference += difference[i] as number;
  }
  if (sumVariance === 0) return 0;
  return Math.min(0.9, Math.max(0, 1 - sumDifference / sumVariance));
}

/**
 * Degrees of freedom of a block variance when noise is correlated like blurred white noise:
 * 61 / sum of squared correlations, which for a Gaussian blur of s px is 2 pi s^2 (at least 1),
 * with the neighbour correlation exp(-1 / (4 s^2)).
 */
function effectiveFreedom(neighbourCorrelation: number): number {
  const full = SAMPLES_IN_BLOCK - 3;
  if (neighbourCorrelation < 0.05) return full;
  const blurSquared = -1 / (4 * Math.log(neighbourCorrelation));
  return Math.max(4, full / Math.max(1, 2 * Math.PI * blurSquared));
}

/** The 20 % quantile of chi-square over its mean (Wilson and Hilferty 1931). */
function lowQuantileShare(freedom: number): number {
  const c = 2 / (9 * freedom);
  return (1 - c + LOW_QUANTILE_Z * Math.sqrt(c)) ** 3;
}

/** Line through the bins, in relative residuals, with bins far above it (structure) given little say. */
function fitEnvelope(bins: readonly NoiseBin[]): { a: number; b: number } {
  if (bins.length === 0) return { a: 0, b: 0 };
  let weights = bins.map((bin) => Math.min(bin.blocks, 200) / (bin.variance * bin.variance + 1e-30));
  let line = { a: 0, b: 0 };
  for (let round = 0; round < 8; round++) {
    line = weightedLine(bins, weights);
    weights = bins.map((bin) => {
      const fitted = Math.max(line.a + line.b * bin.grey, 1e-12);
      const excess = (bin.variance - fitted) / fitted;
      const trust = excess > 0.25 ? 0.0625 / (excess * excess) : 1;
      return (
        (trust * Math.min(bin.blocks, 200)) / (fitted * fitted + bin.variance * bin.variance * 0.25 + 1e-30)
      );
    });
  }
  return line;
}

function weightedLine(bins: readonly NoiseBin[], weights: readonly number[]): { a: number; b: number } {
  let sum = 0;
  let meanGrey = 0;
  let meanVariance = 0;
  for (let i = 0; i < bins.length; i++) {
    const w = weights[i] as number;
    const bin = bins[i] as NoiseBin;
    sum += w;
    meanGrey += w * bin.grey;
    meanVariance += w * bin.variance;
  }
  if (sum === 0) return { a: 0, b: 0 };
  meanGrey /= sum;
  meanVariance /= sum;
  let cross = 0;
  let spread = 0;
  for (let i = 0; i < bins.length; i++) {
    const w = weights[i] as number;
    const bin = bins[i] as NoiseBin;
    cross += w * (bin.grey - meanGrey) * (bin.variance - meanVariance);
    spread += w * (bin.grey - meanGrey) ** 2;
  }
  const b = spread > 0 ? cross / spread : 0;
  return { a: meanVariance - b * meanGrey, b };
}
