import { mostMarked } from "../statistics/hypergeometric.ts";
import type { LotConclusion } from "./lot-wording.ts";

/** What a sample allows to be said of the whole lot. */
export interface AssuranceFacts {
  readonly conclusion: LotConclusion;
  /** Parts in the whole lot; null when not given. */
  readonly quantity: number | null;
  /** Parts that could be judged. */
  readonly looked: number;
  /** Parts among them named suspect. */
  readonly found: number;
  /** Share of differing parts that the inspection notices, 0 < s <= 1. */
  readonly sensitivity?: number;
}

/** The exact upper limit on differing parts. Counts are of parts; shares are of the whole lot. */
export interface LotBound {
  /** At most so many in the lot, found ones included. */
  readonly atMost: number;
  /** At most so many besides those found. */
  readonly mayRemain: number;
  /** `mayRemain` as a share of the lot, 0..1. */
  readonly share: number;
  readonly confidence: number;
}

const usualConfidence = 0.95;
const statedConfidences = [0.9, 0.95, 0.99];

/**
 * How many of `quantity` parts may differ, at a confidence (95 % unless told), when `found` of `looked` did.
 *
 * Assumes a random sample of a mixed lot, and that each differing part in it is noticed with
 * probability `sensitivity`.
 *
 * @throws RangeError when more parts were looked at than the lot holds
 */
export function boundOnLot(
  quantity: number,
  looked: number,
  found: number,
  sensitivity = 1,
  confidence = usualConfidence,
): LotBound {
  const atMost = mostMarked(quantity, looked, found, 1 - confidence, sensitivity);
  return { atMost, mayRemain: atMost - found, share: (atMost - found) / quantity, confidence };
}

/** The limits at 90, 95 and 99 % confidence; none where `assuranceSays` states none. */
export function lotBounds(facts: AssuranceFacts): LotBound[] {
  const { conclusion, quantity, looked, found, sensitivity = 1 } = facts;
  if (looked === 0 || conclusion === "not-assessable" || (conclusion === "mixed" && found === 0)) return [];
  if (quantity === null || quantity < looked) return [];
  return statedConfidences.map((at) => boundOnLot(quantity, looked, found, sensitivity, at));
}

/** The assurance in sentences, with its assumptions, or why none is stated. */
export function assuranceSays({
  conclusion,
  quantity,
  looked,
  found,
  sensitivity = 1,
}: AssuranceFacts): string {
  if (looked === 0 || conclusion === "not-assessable")
    return "No assurance is stated: the sample could not be judged.";
  if (conclusion === "mixed" && found === 0)
    return "No assurance is stated: the sample is mixed and no group of it is the odd one, so what would count as differing is not known.";
  if (quantity === null)
    return "The quantity of the lot was not given, so nothing is stated about parts that were not looked at.";
  if (quantity < looked)
    return `No assurance is stated: ${looked} parts were judged but the quantity given is ${quantity}; check the quantity.`;
  const seen = found === 0 ? "none was suspect" : found === 1 ? "1 was suspect" : `${found} were suspect`;
  const perfect = sensitivity === 1;
  if (quantity === looked && perfect)
    return `All ${quantity} parts of the lot were judged and ${seen}; a difference below the smallest detectable would not be seen.`;
  const { mayRemain, share } = boundOnLot(quantity, looked, found, sensitivity);
  const more = found === 0 ? "" : " more";
  const bound = `Of ${quantity} parts ${looked} were judged and ${seen}: at 95 % confidence at most ${mayRemain}${more} of the lot (${percentText(share)}) may differ.`;
  const noticed = perfect
    ? "every differing part in the sample is noticed, which holds only for differences above the smallest detectable"
    : `a differing part in the sample is noticed with probability ${sensitivity}`;
  return `${bound} This assumes that the sample was drawn at random from a mixed lot (parts that differ often lie together: take from start, middle and end) and that ${noticed}.`;
}

/** A share as a percentage, rounded up so that a bound stays one. */
export function percentText(share: number): string {
  if (share === 0) return "0 %";
  const percent = share * 100;
  const decimals = percent >= 1 ? 1 : percent >= 0.1 ? 2 : 3;
  const step = 10 ** decimals;
  return `${(Math.ceil(percent * step - 1e-9) / step).toFixed(decimals)} %`;
}
