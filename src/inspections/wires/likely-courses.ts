import { evenly } from "../../numeric/evenly.ts";
import { median, quantile } from "../../numeric/order.ts";
import { fractionsIn } from "../../numeric/oriented-rectangle.ts";
import type { FoundCourse } from "./search-courses.ts";
import { lineStrength, searchCourses } from "./search-courses.ts";
import type { LeadTip, WirePart, WireScene } from "./wire-parts.ts";

/** Tried distances from a wire's middle to what it crosses: thin wires at usual enlargement, thick or enlarged ones. */
const flanksPx = [3, 6] as const;

/** The distance at which the lot's wires stand out most. */
export function wireFlank(parts: readonly WirePart[], scene: WireScene, tips: readonly LeadTip[]): number {
  const tried = evenly(tips, 6);
  const [thin, thick] = flanksPx.map((flank) =>
    tried.length ? median(tried.map((tip) => searchCourses(parts, scene, tip, flank)[0]?.strength ?? 0)) : 0,
  ) as [number, number];
  return thick > 1.4 * thin ? flanksPx[1] : flanksPx[0];
}

/** A course must stand out by this many times the noise of open field. */
const leastOfNoise = 0.7;
/** Wires of one construction are alike: weaker courses, against its stronger ones, are structure. */
const leastOfStrong = 0.15;
/** The strongest course of each lead, where it may be a wire, and those that are known already. */
export function likelyCourses(
  tips: readonly LeadTip[],
  parts: readonly WirePart[],
  scene: WireScene,
  flankPx: number,
  openNoise: number,
): FoundCourse[] {
  if (tips.some(({ bondPx }) => bondPx)) return knownCourses(tips, parts, scene, flankPx);
  const strongest = tips.flatMap((tip) => searchCourses(parts, scene, tip, flankPx).slice(0, 1));
  if (!strongest.length) return [];
  const strong = quantile(
    strongest.map((f) => f.strength),
    0.75,
  );
  return strongest.filter(
    ({ strength }) => strength > leastOfNoise * openNoise && strength > leastOfStrong * strong,
  );
}

/** The courses of wires that said themselves where they run; each as strong as the middle one, or stronger. */
function knownCourses(
  tips: readonly LeadTip[],
  parts: readonly WirePart[],
  scene: WireScene,
  flankPx: number,
): FoundCourse[] {
  const known = tips.flatMap(({ lead, tipPx, bondPx }): FoundCourse[] => {
    if (!bondPx) return [];
    const course = { lead, tipPx, onDie: fractionsIn(scene.die, bondPx) };
    return [{ course, strength: median(parts.map((part) => lineStrength(part, course, scene, flankPx))) }];
  });
  const usual = median(known.map(({ strength }) => strength));
  return known.map(({ course, strength }) => ({ course, strength: Math.max(strength, usual) }));
}
