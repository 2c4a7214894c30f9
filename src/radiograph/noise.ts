import type { ClipLevels } from "./clipping.ts";
import { measureBlocks } from "./noise-blocks.ts";
import { chiSquareShare, effectiveFreedom, neighbourCorrelation, shareLeft } from "./noise-correlation.ts";
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
  /** True when most blocks of this grey show noise only: their variances spread no wider than noise makes them. */
  readonly flat: boolean;
}

const BIN_COUNT = 32;
const MIN_BLOCKS_IN_BIN = 8;
/** Quantile of block variances taken per bin: low, so that structure in most blocks doesn't count. */
const LOW_QUANTILE = 0.2;
const LOW_QUANTILE_Z = -0.8416;
/** A bin is flat while its median block variance over the low quantile stays within this factor of chi-square's, */
const FLAT_FACTOR = 1.4;
/** and its neighbour correlation within this of the detector's own. */
const RHO_TOLERANCE = 0.15;
const LEAST_CORRELATED_SHARE = 0.1;
/** A flat bin holds at least this share of the blocks: texture fills bins thinly. */
const FLAT_SHARE = 0.01;
/** Photon noise grows as transmission does, a hundredfold at most: an evenly edged bin of a small picture is above. */
const MOST_RISE = 100;
/** Greys must span this share of the larger for a slope to mean anything. */
const LEAST_SPAN = 0.1;

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
  const low = sorted[Math.floor(0.001 * (count - 1))];
  const high = sorted[Math.ceil(0.999 * (count - 1))];
  const binGrey = Math.max((high - low) / BIN_COUNT, 1e-12);
  const members: number[][] = Array.from({ length: BIN_COUNT }, () => []);
  for (let i = 0; i < count; i++) {
    const bin = Math.floor((grey[i] - low) / binGrey);
    if (bin >= 0 && bin <= BIN_COUNT) members[Math.min(bin, BIN_COUNT - 1)].push(i);
  }
  const full = members.filter((inBin) => inBin.length >= Math.min(MIN_BLOCKS_IN_BIN, count));
  const raw = full.map((inBin) => {
    inBin.sort((p, q) => variance[p] - variance[q] || p - q);
    const cut = Math.floor(LOW_QUANTILE * (inBin.length - 1));
    let sum = 0;
    for (const i of inBin) sum += grey[i];
    const low = variance[inBin[cut]];
    const spread = variance[inBin[inBin.length >> 1]] / Math.max(low, floor, 1e-30);
    const quiet = inBin.slice(0, 2 * cut + 1).filter((i) => variance[i] > 0);
    const rho = neighbourCorrelation(quiet.map((i) => difference[i] / variance[i]));
    return { grey: sum / inBin.length, low, spread, rho, blocks: inBin.length };
  });
  const detectorRho = detectorCorrelation(raw);
  const left = shareLeft(detectorRho);
  const freedom = effectiveFreedom(detectorRho);
  const share = chiSquareShare(freedom, LOW_QUANTILE_Z);
  const widest = (FLAT_FACTOR * chiSquareShare(freedom, 0)) / share;
  const bins = raw.map((bin) => ({
    grey: bin.grey,
    variance: Math.max(bin.low / (share * left), floor),
    blocks: bin.blocks,
    flat: bin.blocks >= FLAT_SHARE * count && bin.spread <= widest && bin.rho <= detectorRho + RHO_TOLERANCE,
  }));
  return { ...fitEnvelope(bins), floor, neighbourCorrelation: detectorRho, bins };
}

/** Standard deviation of the noise at `grey`. */
export function greySigma(noise: GreyNoise, grey: number): number {
  return Math.sqrt(Math.max(noise.a + noise.b * grey, noise.floor, 0));
}

/**
 * The detector's own correlation: that of the least correlated tenth of the blocks. Structure is
 * smooth, so blocks that hold some are more correlated than noise alone.
 */
function detectorCorrelation(bins: readonly { readonly rho: number; readonly blocks: number }[]): number {
  const ordered = [...bins].sort((p, q) => p.rho - q.rho);
  let all = 0;
  for (const bin of ordered) all += bin.blocks;
  let below = 0;
  for (const bin of ordered) {
    below += bin.blocks;
    if (below >= LEAST_CORRELATED_SHARE * all) return bin.rho;
  }
  return 0;
}

/**
 * Line through the flat bins (through all, when none is flat), in relative residuals, bins far above it
 * having little say. When their greys span too little for a slope, a constant.
 */
function fitEnvelope(bins: readonly NoiseBin[]): { a: number; b: number } {
  const flat = bins.filter((bin) => bin.flat);
  const quietest = Math.min(...flat.map((bin) => bin.variance));
  const used = flat.length > 0 ? flat.filter((bin) => bin.variance <= MOST_RISE * quietest) : bins;
  if (used.length === 0) return { a: 0, b: 0 };
  const say = used.map((bin) => Math.min(bin.blocks, 200));
  const first = used[0].grey;
  const last = used[used.length - 1].grey;
  if (last - first < LEAST_SPAN * Math.max(Math.abs(first), Math.abs(last)))
    return { a: middleVariance(used), b: 0 };
  let weights = used.map((bin, i) => say[i] / (bin.variance * bin.variance + 1e-30));
  let line = { a: 0, b: 0 };
  for (let round = 0; round < 8; round++) {
    line = weightedLine(used, weights);
    weights = used.map((bin, i) => {
      const fitted = Math.max(line.a + line.b * bin.grey, 1e-12);
      const excess = (bin.variance - fitted) / fitted;
      const trust = excess > 0.25 ? 0.0625 / (excess * excess) : 1;
      return (trust * say[i]) / (fitted * fitted + 0.25 * bin.variance * bin.variance + 1e-30);
    });
  }
  return positive(line, bins, used, say);
}

/**
 * The line, where it is a variance over all greys of the picture. One that goes negative towards dark greys
 * is replaced by photon noise alone (through the origin), any other by a constant.
 */
function positive(
  line: { a: number; b: number },
  bins: readonly NoiseBin[],
  used: readonly NoiseBin[],
  say: readonly number[],
): { a: number; b: number } {
  const lowest = bins[0].grey;
  const highest = bins[bins.length - 1].grey;
  if (line.a + line.b * lowest > 0 && line.a + line.b * highest > 0) return line;
  if (line.b <= 0 || lowest <= 0) return { a: middleVariance(used), b: 0 };
  let sum = 0;
  let all = 0;
  for (let i = 0; i < used.length; i++) {
    sum += (say[i] * used[i].variance) / used[i].grey;
    all += say[i];
  }
  return { a: 0, b: sum / all };
}

/** Median variance of the bins, each counted by its blocks. */
function middleVariance(bins: readonly NoiseBin[]): number {
  const ordered = [...bins].sort((p, q) => p.variance - q.variance);
  const half = ordered.reduce((sum, bin) => sum + bin.blocks, 0) / 2;
  let below = 0;
  for (const bin of ordered) {
    below += bin.blocks;
    if (below >= half) return bin.variance;
  }
  return 0;
}

function weightedLine(bins: readonly NoiseBin[], weights: readonly number[]): { a: number; b: number } {
  let sum = 0;
  let meanGrey = 0;
  let meanVariance = 0;
  for (let i = 0; i < bins.length; i++) {
    const w = weights[i];
    const bin = bins[i];
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
    const w = weights[i];
    const bin = bins[i];
    cross += w * (bin.grey - meanGrey) * (bin.variance - meanVariance);
    spread += w * (bin.grey - meanGrey) ** 2;
  }
  const b = spread > 0 ? cross / spread : 0;
  return { a: meanVariance - b * meanGrey, b };
}
