import type { CommonLine } from "./common-line.ts";
import { readAgain, readAll, shareOf, usualPlay } from "./common-line.ts";
import { readCourse } from "./read-course.ts";
import { searchCourses } from "./search-courses.ts";
import type { LeadTip, WirePart, WireScene } from "./wire-parts.ts";

/** Leads at which some parts of one construction have a wire and the others have none. */
export interface BondingSplit {
  /** Lead numbers. */
  readonly leads: readonly number[];
  /** By part: at which of these leads it shows a wire; null without a die to tell by. */
  readonly bonded: readonly (readonly boolean[] | null)[];
}

/** Each way of bonding is held by at least this many parts and this share of them. */
const leastParts = 3;
const leastShareOfParts = 0.2;
/** Share of the wire from which a part has it, and up to which it has none. */
const leastOfWire = 0.6;
const mostOfNone = 0.35;
/** Share of the parts that may lie between. */
const mostBetween = 0.1;

/**
 * Looks for two ways of bonding in parts of one construction: leads at which many parts have a wire as strong as
 * their others, many have nothing, and hardly any lie between.
 *
 * @param tips leads at which the parts have no wire in common
 * @param gains how strongly each part shows its wires
 * @param strength of their wires in the middle
 */
export function bondingSplit(
  parts: readonly WirePart[],
  tips: readonly LeadTip[],
  gains: readonly number[],
  strength: number,
  scene: WireScene,
  flankPx: number,
): BondingSplit | null {
  const strengths = gains.map((gain) => gain * strength);
  const found = tips.flatMap((tip) => {
    const clear = parts.filter(
      (part, p) =>
        part.die &&
        (searchCourses([part], scene, tip, flankPx)[0]?.strength ?? 0) >
          leastOfWire * (strengths[p] as number),
    );
    if (clear.length < leastParts) return [];
    // Those that show it say where it runs; all are read along that.
    const [course] = searchCourses(clear, scene, tip, flankPx);
    if (!course) return [];
    const [line] = readAll([course.course], clear, scene, flankPx) as [CommonLine];
    const shares = parts.map((part, p) => {
      if (!part.die) return null;
      const reading = readCourse(part, line.course, scene, flankPx, usualPlay(scene));
      const [read] = readAgain(part, [reading], [line], scene, flankPx);
      return read ? shareOf(read, line) / (gains[p] as number) : 0;
    });
    const seen = shares.filter((v) => v !== null);
    const least = Math.max(leastParts, leastShareOfParts * seen.length);
    const bonded = seen.filter((v) => v >= leastOfWire).length;
    const none = seen.filter((v) => v <= mostOfNone).length;
    const between = seen.length - bonded - none;
    const split = bonded >= least && none >= least && between <= mostBetween * seen.length;
    return split ? [{ lead: tip.lead, shares }] : [];
  });
  if (!found.length) return null;
  return {
    leads: found.map(({ lead }) => lead),
    bonded: parts.map((part, p) =>
      part.die ? found.map(({ shares }) => (shares[p] ?? 0) > (leastOfWire + mostOfNone) / 2) : null,
    ),
  };
}
