import type { GreyHistogram } from "./grey-histogram.ts";

/** Share of samples that may lie off the step (repaired pixels, marks) without hiding it. */
const ODD_SHARE = 0.001;

/**
 * Smallest grey step that the samples really use: 1 for full use of the integers, 8 for a 9-bit
 * digitiser in the top of 12 bits, 257 for 8 bits spread over 16.
 *
 * The step is the largest product of primes up to 257 such that, but for one sample in a thousand,
 * all samples agree modulo the step. The two end levels are left out: clipping puts them anywhere.
 *
 * @returns the step in grey; 0 for fractional data, where no step is seen
 */
export function greyStep(histogram: GreyHistogram): number {
  if (!histogram.exact) return 0;
  const { counts } = histogram;
  const levels: number[] = [];
  for (let i = 1; i < counts.length - 1; i++) if (counts[i] !== 0) levels.push(i);
  if (levels.length < 3) return 1;
  let step = 1;
  for (const prime of PRIMES) {
    while (step * prime <= counts.length && agree(levels, counts, step * prime)) step *= prime;
  }
  return step;
}

/** True when nearly all samples share one remainder modulo `step` and at least three levels carry it. */
function agree(levels: readonly number[], counts: Uint32Array, step: number): boolean {
  const byRemainder = new Float64Array(step);
  let total = 0;
  for (const level of levels) {
    const n = counts[level];
    byRemainder[level % step] += n;
    total += n;
  }
  let best = 0;
  for (let r = 1; r < step; r++) if (byRemainder[r] > byRemainder[best]) best = r;
  if (byRemainder[best] < (1 - ODD_SHARE) * total) return false;
  let used = 0;
  for (const level of levels) if (level % step === best) used++;
  return used >= 3;
}

const PRIMES = primesUpTo(257);

function primesUpTo(limit: number): number[] {
  const found: number[] = [];
  for (let n = 2; n <= limit; n++) if (found.every((p) => n % p !== 0)) found.push(n);
  return found;
}
