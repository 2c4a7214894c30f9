import type { CourseNorm, CourseReading } from "./read-course.ts";
import { shareOfWire, stretches } from "./read-course.ts";

/** What a part shows where its like have a wire. */
export type WireState = "seen" | "absent" | "broken" | "elsewhere" | "unclear" | "not-assessable";

/** Contrast-to-noise along a wire from which its absence can be told (Rose criterion: J. Opt. Soc. Am. 38, 1948). */
export const leastContrastToNoise = 5;
/** The same to say more of a wire than whether it is there: that it is interrupted, or runs elsewhere. */
export const clearContrastToNoise = 8;
/** Share of the wire beyond which it is seen; below `mostOfAbsent` it is held to be absent, unclear between. */
export const leastShare = 0.5;
const mostOfAbsent = 0.4;

/** Shortest gap looked for, in stretches, and what it may still show of the wire. */
const leastGap = 3;
const mostInGap = 0.25;
/** The pieces beside a gap show at least this much of the wire, and all of it no more than a gap leaves. */
const leastInPiece = 0.6;
const mostOfBroken = 0.8;

/**
 * Whether a wire is interrupted: a quarter of its length without it, though it would be seen there, between two
 * pieces that are there.
 *
 * @param gain how strongly the part shows its wires against the lot
 */
export function brokenAt(reading: CourseReading, norm: CourseNorm, gain: number): boolean {
  if (shareOfWire(reading, norm).share > mostOfBroken * gain) return false;
  for (let from = 1; from + leastGap < stretches; from++) {
    for (let to = from + leastGap; to < stretches; to++) {
      const gap = shareOfWire(reading, norm, from, to);
      if (gain * gap.contrastToNoise < leastContrastToNoise || gap.share > mostInGap * gain) continue;
      if (besideShare(reading, norm, from, to) > mostBeside * gain) continue;
      const before = shareOfWire(reading, norm, 0, from);
      const after = shareOfWire(reading, norm, to);
      if (Math.min(before.share, after.share) > leastInPiece * gain) return true;
    }
  }
  return false;
}

/** Where more than this share of what usually stands out does so, a wire is not held to be missing. */
const mostBeside = 0.5;

/** What stands out anywhere beside the course over some stretches, against the lot. */
function besideShare(reading: CourseReading, norm: CourseNorm, from: number, to: number): number {
  let own = 0;
  let usual = 0;
  for (let k = from; k < to; k++) {
    own += reading.most[k] as number;
    usual += norm.most[k] as number;
  }
  return usual ? own / usual : 1;
}

/** Whether nothing beside the course could be the wire, run aside. */
export function nothingBeside(reading: CourseReading, norm: CourseNorm, gain: number): boolean {
  return besideShare(reading, norm, 0, stretches) < mostBeside * gain;
}

/** What is said of a wire. */
export function wireState(wire: {
  share: number;
  contrastToNoise: number;
  broken: boolean;
  far: boolean;
  nothingBeside: boolean;
  die: boolean;
}): WireState {
  if (wire.contrastToNoise < leastContrastToNoise) return "not-assessable";
  // Without a die to go by a wire that is seen is there, but one that is not seen may run elsewhere.
  if (!wire.die) return wire.share > leastShare ? "seen" : "not-assessable";
  const clear = wire.contrastToNoise >= clearContrastToNoise;
  if (wire.broken) return clear ? "broken" : "unclear";
  if (wire.share > leastShare) return wire.far && clear ? "elsewhere" : "seen";
  return wire.share < mostOfAbsent && wire.nothingBeside ? "absent" : "unclear";
}
