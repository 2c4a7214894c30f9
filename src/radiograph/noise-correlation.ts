import { naturalLog } from "./natural-log.ts";

const BLOCK_PX = 8;
const SAMPLES_IN_BLOCK = BLOCK_PX * BLOCK_PX;
const AXIS_SUM = 336;
const HIGHEST = 0.9;

/**
 * Correlation of noise between neighbours in a row from 8 x 8 blocks whose plane was removed, clamped
 * to 0..0.9. Removing the plane takes part of correlated noise along, which is allowed for.
 *
 * @param ratios half the mean square neighbour difference over the variance left, per block
 */
export function neighbourCorrelation(ratios: readonly number[]): number {
  if (ratios.length === 0) return 0;
  let sum = 0;
  for (const ratio of ratios) sum += ratio;
  const ratio = sum / ratios.length;
  let rho = 0;
  for (let round = 0; round < 30; round++) rho = Math.min(HIGHEST, Math.max(0, 1 - ratio * shareLeft(rho)));
  return rho;
}

/**
 * Variance left in an 8 x 8 block after its plane was removed (sum over 61), over the true variance,
 * for noise correlated as rho^(distance squared), the law of blurred white noise. 1 for white noise.
 */
export function shareLeft(rho: number): number {
  let level = 0;
  let tilt = 0;
  for (let i = 0; i < BLOCK_PX; i++) {
    for (let j = 0; j < BLOCK_PX; j++) {
      let power = 1;
      for (let k = 0; k < (i - j) * (i - j); k++) power *= rho;
      level += power;
      tilt += (i - 3.5) * (j - 3.5) * power;
    }
  }
  const plane = (level * level) / SAMPLES_IN_BLOCK + (2 * level * tilt) / AXIS_SUM;
  return (SAMPLES_IN_BLOCK - plane) / (SAMPLES_IN_BLOCK - 3);
}

/**
 * Degrees of freedom of a block variance when noise is correlated like blurred white noise:
 * 61 / sum of squared correlations, which for a Gaussian blur of s px is 2 pi s^2 (at least 1),
 * with the neighbour correlation exp(-1 / (4 s^2)).
 */
export function effectiveFreedom(rho: number): number {
  const full = SAMPLES_IN_BLOCK - 3;
  if (rho < 0.05) return full;
  const blurSquared = -1 / (4 * naturalLog(rho));
  return Math.max(4, full / Math.max(1, 2 * Math.PI * blurSquared));
}

/** Quantile of chi-square over its mean, at normal quantile `z` (Wilson and Hilferty 1931, from memory). */
export function chiSquareShare(freedom: number, z: number): number {
  const c = 2 / (9 * freedom);
  return (1 - c + z * Math.sqrt(c)) ** 3;
}
