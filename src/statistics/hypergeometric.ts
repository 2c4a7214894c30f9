/**
 * Sampling without replacement, exact, in plain arithmetic (no logarithms or gamma functions), so that
 * every machine gets the same number.
 *
 * @see docs/methods/lot-report.md
 */

/** Parts drawn from a lot some of which are marked (differ). Whole numbers; marked and drawn at most lot. */
export interface Draw {
  readonly lot: number;
  readonly marked: number;
  readonly drawn: number;
}

/**
 * Probabilities of each number of marked parts in the sample.
 *
 * @returns `first` is the smallest possible number; `probabilities[i]` belongs to `first + i`; sum 1
 * @throws RangeError when the numbers are not whole or do not fit each other
 */
export function hypergeometric(draw: Draw): { first: number; probabilities: Float64Array } {
  requireDraw(draw);
  const { lot, marked, drawn } = draw;
  const first = Math.max(0, drawn - (lot - marked));
  const last = Math.min(marked, drawn);
  const probabilities = new Float64Array(last - first + 1);
  const mode = Math.min(last, Math.max(first, Math.floor(((drawn + 1) * (marked + 1)) / (lot + 2))));
  probabilities[mode - first] = 1;
  for (let found = mode; found < last; found++)
    probabilities[found + 1 - first] =
      probabilities[found - first] *
      (((marked - found) * (drawn - found)) / ((found + 1) * (lot - marked - drawn + found + 1)));
  for (let found = mode; found > first; found--)
    probabilities[found - 1 - first] =
      probabilities[found - first] *
      ((found * (lot - marked - drawn + found)) / ((marked - found + 1) * (drawn - found + 1)));
  let sum = 0;
  for (const weight of probabilities) sum += weight;
  for (let at = 0; at < probabilities.length; at++) probabilities[at] /= sum;
  return { first, probabilities };
}

/**
 * Probability that at most `found` marked parts are noticed, when each marked part in the sample is
 * noticed with probability `sensitivity`, independently.
 *
 * @param sensitivity 0 < s <= 1; 1 gives the hypergeometric distribution function
 */
export function probabilityFoundAtMost(found: number, draw: Draw, sensitivity = 1): number {
  if (!(sensitivity > 0 && sensitivity <= 1))
    throw new RangeError(
      `Expected a sensitivity above 0 and at most 1, got ${sensitivity}. Give the share of differing parts that are noticed.`,
    );
  const { first, probabilities } = hypergeometric(draw);
  let sum = 0;
  for (let at = 0; at < probabilities.length; at++) {
    const inSample = first + at;
    if (inSample <= found) sum += probabilities[at];
    else if (sensitivity < 1 && probabilities[at] > 0)
      sum += probabilities[at] * binomialAtMost(found, inSample, sensitivity);
  }
  return Math.min(1, sum);
}

/**
 * The largest number of marked parts in the lot that still leaves more than `risk` probability of
 * noticing no more than were found: an exact one-sided upper limit at confidence 1 - risk.
 *
 * @param found marked parts noticed in the sample, 0..drawn
 */
export function mostMarked(lot: number, drawn: number, found: number, risk = 0.05, sensitivity = 1): number {
  if (found > drawn)
    throw new RangeError(`Expected at most the ${drawn} parts drawn to be found, got ${found}.`);
  let possible = found;
  let impossible = (sensitivity < 1 ? lot : lot - drawn + found) + 1;
  while (impossible - possible > 1) {
    const marked = Math.floor((possible + impossible) / 2);
    if (probabilityFoundAtMost(found, { lot, marked, drawn }, sensitivity) > risk) possible = marked;
    else impossible = marked;
  }
  return possible;
}

/** P(X <= found) of a binomial, by recurrence away from its mode; 0 <= p < 1. */
export function binomialAtMost(found: number, trials: number, p: number): number {
  const odds = p / (1 - p);
  const mode = Math.min(trials, Math.floor((trials + 1) * p));
  let all = 1;
  let low = mode <= found ? 1 : 0;
  let weight = 1;
  for (let at = mode; at < trials && weight > 1e-300; at++) {
    weight *= ((trials - at) / (at + 1)) * odds;
    all += weight;
    if (at + 1 <= found) low += weight;
  }
  weight = 1;
  for (let at = mode; at > 0 && weight > 1e-300; at--) {
    weight *= at / ((trials - at + 1) * odds);
    all += weight;
    if (at - 1 <= found) low += weight;
  }
  return low / all;
}

function requireDraw({ lot, marked, drawn }: Draw): void {
  const whole = [lot, marked, drawn].every((number) => Number.isInteger(number) && number >= 0);
  if (!whole || marked > lot || drawn > lot)
    throw new RangeError(
      `Expected whole numbers with marked and drawn at most the lot, got lot ${lot}, marked ${marked}, drawn ${drawn}.`,
    );
}
