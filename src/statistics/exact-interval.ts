import { binomialAtMost } from "./hypergeometric.ts";

/** A share that was counted, with its interval. `share`, `low` and `high` are null where nothing was counted. */
export interface CountedShare {
  readonly count: number;
  readonly of: number;
  readonly share: number | null;
  readonly low: number | null;
  readonly high: number | null;
}

/**
 * Exact (Clopper-Pearson) two-sided interval of a binomial share: its ends are the shares at which `count` or
 * more, and `count` or fewer, have the probability (1 - level) / 2.
 *
 * Clopper and Pearson, Biometrika 26 (1934) 404 (from memory); checked against scipy and the worked example of
 * the NIST/SEMATECH e-Handbook 7.2.4.1 in the test.
 *
 * @returns 0 <= low <= count / of <= high <= 1, to 1e-12
 * @throws RangeError when the numbers are not whole, `of` is 0, or `count` is larger
 */
export function exactInterval(count: number, of: number, level = 0.95): { low: number; high: number } {
  if (!(Number.isInteger(count) && Number.isInteger(of) && count >= 0 && of > 0 && count <= of))
    throw new RangeError(
      `Expected whole numbers with 0 <= count <= of and of above 0, got ${count} of ${of}.`,
    );
  if (!(level > 0 && level < 1))
    throw new RangeError(`Expected a level between 0 and 1, got ${level}. 0.95 is usual.`);
  const tail = (1 - level) / 2;
  return { low: 1 - upperEnd(of - count, of, tail), high: upperEnd(count, of, tail) };
}

/** A share with its 95 % interval; without any trial there is no share. */
export function countedShare(count: number, of: number): CountedShare {
  if (of === 0) return { count, of, share: null, low: null, high: null };
  return { count, of, share: count / of, ...exactInterval(count, of) };
}

/** The share at which `count` or fewer have the probability `tail`. */
function upperEnd(count: number, of: number, tail: number): number {
  if (count === of) return 1;
  let low = count / of;
  let high = 1;
  for (let step = 0; step < 60; step++) {
    const middle = (low + high) / 2;
    if (middle <= low || middle >= high) break;
    if (binomialAtMost(count, of, middle) > tail) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
