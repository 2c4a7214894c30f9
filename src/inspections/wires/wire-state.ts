import type { CourseNorm, CourseReading } from "./read-course.ts";
import { shareOfWire, stretches } from "./read-course.ts";

/** What a part shows where its like have a wire. */
export type WireState = "seen" | "absent" | "broken" | "elsewhere" | "unclear" | "not-assessable";

/** Contrast-to-noise along a wire from which its absence can be told (Rose criterion: J. Opt. Soc. Am. 38, 1948). */
export const leastContrastToNoise = 5;
/** The same to say more of a wire than whether it is there: that it is interrupted, or runs elsewhere. */
export const clearContrastToNoise = 8;
/** Share of the wire beyond which it is seen. */
export const leastShare = 0.5;

/** Gaps looked for, in stretches; the pieces on both sides have two of them or more. */
const leastGap = 2;
const mostGap = 7;
const leastPiece = 2;
/** One stretch tells no more than three of its standard deviations. */
const mostOfStretch = 9;
/** By how much an interrupted wire must fit better than a whole one, and than none, in -2 ln likelihood. */
const leastBetter = 11;
const leastOverAbsent = 5;
/** What the gap itself may still show of the wire. */
const mostInGap = 0.35;
/** Over a fifth of the length: an edge that lies elsewhere in this part, or onto which a wire sways, takes less. */
const leastLacking = 2.7;
/** The lead and the die's rim make ends of their own: only the stretches between these tell an absent wire. */
export const core = [2, 9] as const;

/**
 * Where a wire is interrupted: the gap with which what is seen fits best, when that is clearly better than a whole wire
 * and than none (likelihood ratio, normal errors cut off at three standard deviations).
 *
 * @param gain how strongly the part shows its wires against the lot
 * @returns first stretch of the gap and the one after its last; null where there is none
 */
export function gapIn(
  reading: CourseReading,
  norm: CourseNorm,
  gain: number,
): readonly [from: number, to: number] | null {
  const misfit = (model: 0 | 1) =>
    reading.dense.map((value, k) => {
      const wire = gain * (norm.wire[k] as number);
      if (!Number.isFinite(value) || wire <= 0) return 0;
      const off = value - (norm.chance[k] as number) - model * wire;
      return Math.min(mostOfStretch, (off / Math.max(norm.spread[k] as number, leastSpread * wire)) ** 2);
    });
  const none = misfit(0);
  const whole = misfit(1);
  const sum = (values: readonly number[]) => values.reduce((total, v) => total + v, 0);
  const asGap = (from: number, to: number) =>
    sum(whole) + sum(none.slice(from, to)) - sum(whole.slice(from, to));
  let best: readonly [number, number] | null = null;
  const ends = whole.map((w, k) => (k < core[0] || k >= core[1] ? Math.min(w, none[k] as number) : 0));
  const absent = sum(none.slice(...core)) + sum(ends);
  let least = Math.min(sum(whole) - leastBetter, absent - leastOverAbsent);
  for (let from = leastPiece; from + leastGap + leastPiece <= stretches; from++) {
    for (let to = from + leastGap; to <= Math.min(from + mostGap, stretches - leastPiece); to++) {
      if (asGap(from, to) >= least) continue;
      if (!boundedBy(reading, norm, gain, from - 1) || !boundedBy(reading, norm, gain, to)) continue;
      if (shareOfWire(reading, norm, from, to).share >= mostInGap * gain) continue;
      least = asGap(from, to);
      best = [from, to];
    }
  }
  if (best === null) return null;
  return lackingIn(reading, norm, gain, best) >= leastLacking ? best : null;
}

/** A gap ends where the wire is seen again, by this share of it: not where another line crosses or nothing is known. */
const [leastAtGap, mostAtGap] = [0.4, 1.7];

function boundedBy(reading: CourseReading, norm: CourseNorm, gain: number, k: number): boolean {
  const over = (reading.dense[k] as number) - (norm.chance[k] as number);
  const share = over / (gain * (norm.wire[k] as number));
  return share >= leastAtGap && share <= mostAtGap;
}

/** How much of the wire lacks in a gap and the stretches beside it, in stretches. */
function lackingIn(
  reading: CourseReading,
  norm: CourseNorm,
  gain: number,
  [from, to]: readonly [number, number],
): number {
  let lacking = 0;
  for (let k = from - 1; k <= to; k++) {
    const wire = gain * (norm.wire[k] as number);
    const seen = ((reading.dense[k] as number) - (norm.chance[k] as number)) / wire;
    if (wire > 0 && Number.isFinite(seen)) lacking += Math.min(1, Math.max(0, 1 - seen));
  }
  return lacking;
}

/** A stretch is told to no better than this share of the wire. */
const leastSpread = 0.25;

/** Where a wire is interrupted and nothing beside the gap could be the piece that lacks; null where it is not. */
export function brokenAt(
  reading: CourseReading,
  norm: CourseNorm,
  gain: number,
): readonly [from: number, to: number] | null {
  const gap = gapIn(reading, norm, gain);
  if (gap === null || meanOf(reading.hidden.slice(...gap)) > mostHidden) return null;
  return besideShare(reading, norm, ...gap) < mostBeside * gain ? gap : null;
}

/** A gap of which more than this share lies on an edge or beside another wire, which may hide the wire, is none. */
const mostHidden = 0.5;

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}

/** Where more than this share of what usually stands out does so, a wire is not held to be missing. */
const mostBeside = 0.5;

/** What stands out anywhere beside the course over some stretches, against the lot, weighed as the wire is. */
function besideShare(reading: CourseReading, norm: CourseNorm, from: number, to: number): number {
  let own = 0;
  let usual = 0;
  for (let k = from; k < to; k++) {
    const weight = (norm.wire[k] as number) / (norm.spread[k] as number) ** 2;
    own += weight * (reading.most[k] as number);
    usual += weight * (norm.most[k] as number);
  }
  return usual ? own / usual : 1;
}

/** Between lead and rim an absent wire shows no more than this share. */
const mostInCore = 0.25;

/** Whether neither the course nor what is beside it shows the wire between the lead and the die's rim. */
export function coreEmpty(reading: CourseReading, norm: CourseNorm, gain: number): boolean {
  const { share, contrastToNoise } = shareOfWire(reading, norm, ...core);
  return (
    gain * contrastToNoise >= leastContrastToNoise &&
    share < mostInCore * gain &&
    besideShare(reading, norm, ...core) < mostBeside * gain
  );
}

/** What is said of a wire. */
export function wireState(wire: {
  share: number;
  contrastToNoise: number;
  broken: boolean;
  far: boolean;
  disputed: boolean;
  coreEmpty: boolean;
  die: boolean;
}): WireState {
  if (wire.contrastToNoise < leastContrastToNoise) return "not-assessable";
  // Without a die to go by a wire that is seen is there, but one that is not seen may run elsewhere.
  if (!wire.die) return wire.share > leastShare ? "seen" : "not-assessable";
  const clear = wire.contrastToNoise >= clearContrastToNoise;
  if (wire.disputed && (wire.broken || wire.coreEmpty || wire.share <= leastShare)) return "unclear";
  if (wire.broken) return clear ? "broken" : "unclear";
  if (wire.coreEmpty) return "absent";
  if (wire.share > leastShare) return wire.far && clear ? "elsewhere" : "seen";
  return "unclear";
}
