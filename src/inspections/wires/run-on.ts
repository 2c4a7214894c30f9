import type { PointPx } from "../../numeric/image.ts";
import { median, robustSpread } from "../../numeric/order.ts";
import type { OrientedRectangle } from "../../numeric/oriented-rectangle.ts";
import { growRectangle } from "../../numeric/oriented-rectangle.ts";
import { distanceTo } from "./lead-metal.ts";
import type { WireCourse } from "./search-courses.ts";
import { courseEnd } from "./search-courses.ts";
import { sampleStrip } from "./strip.ts";
import { mostInRow, smoothRows, standOut, stretchMeans, stretchOf } from "./strip-line.ts";
import type { WirePart, WireScene } from "./wire-parts.ts";

/** Stretches into which the way on over the die is divided, and how many must show a wire beyond the usual bond. */
const stretchesOn = 10;
const leastOn = 3;
const asidePx = 5;
/** So near to the die's rim the strip reaches its fillet, px. */
const rimPx = 8;
/** Each stretch of a wire running on shows this share of the usual wire's contrast, and they all together this one. */
const [leastOfWire, meanOfWire] = [0.4, 0.77];
/** A bond and its ball set a little further in are no wire running on. */
const leastOnPx = 15;

/** Ways on over the die that are tried, beside the course's own. */
const turnsRad = [-0.45, -0.3, -0.15, 0, 0.15, 0.3, 0.45];

/**
 * How far each part's wire runs on over the die beyond where its like are bonded, in tenths of the way tried, and less
 * than one by how well it shows; 0 where it does not. One that does is bonded elsewhere on the die.
 *
 * @param wireContrast how far a wire of the lot stands out
 */
export function wiresRunningOn(
  parts: readonly WirePart[],
  course: WireCourse,
  scene: WireScene,
  flankPx: number,
  wireContrast: number,
): number[] {
  const byTurn = turnsRad.map((turn) => {
    const profiles = parts.map((part) => beyondEdge(part, course, turn, scene, flankPx));
    const middle = stretch(profiles, median);
    const spread = stretch(profiles, robustSpread);
    return { profiles, middle, spread };
  });
  return parts.map((_, p) => {
    let [longest, strongest] = [0, 0];
    for (const { profiles, middle, spread } of byTurn) {
      let [run, sum] = [0, 0];
      (profiles[p] as number[]).forEach((value, k) => {
        const more = value - (middle[k] as number);
        const on = more > Math.max(leastOfWire * wireContrast, 5 * (spread[k] as number));
        [run, sum] = on ? [run + 1, sum + more] : [0, 0];
        const better = run > longest || (run === longest && sum > strongest);
        if (better && sum > meanOfWire * wireContrast * run) [longest, strongest] = [run, sum];
      });
    }
    const longestPx = (longest * reachPx(scene.die)) / stretchesOn;
    if (longest < leastOn || longestPx < leastOnPx) return 0;
    // Of ways as long the one that shows the wire better is its own; less than a stretch.
    return longest + strongest / (strongest + longest * wireContrast);
  });
}

/** Over a small die a wire may run as far as the die reaches. */
const leastReachPx = 40;

/** Length of the way tried. */
function reachPx(die: OrientedRectangle): number {
  return Math.max(leastReachPx, 0.7 * Math.min(die.lengthPx, die.widthPx));
}

/** What stands out by stretch over the die's inside, its fillet left out, turned from the course's way. */
function beyondEdge(
  part: WirePart,
  course: WireCourse,
  turnRad: number,
  scene: WireScene,
  flankPx: number,
): number[] {
  const die = part.die ?? scene.die;
  const inside = growRectangle(die, -Math.max(rimPx, 0.12 * Math.min(die.lengthPx, die.widthPx)));
  const from = courseEnd(course, die);
  const way = Math.atan2(from[1] - course.tipPx[1], from[0] - course.tipPx[0]) + turnRad;
  const reach = reachPx(die);
  const to: PointPx = [from[0] + reach * Math.cos(way), from[1] + reach * Math.sin(way)];
  const strip = sampleStrip(part.image, from, to, asidePx + flankPx);
  const most = mostInRow(standOut(smoothRows(strip), flankPx, 1), strip.lengthPx);
  return stretchMeans(most, stretchesOn).map((mean, k) => {
    const [first, last] = stretchOf(k, stretchesOn, most.length);
    const at = (first + last) / 2 / most.length;
    const middle: PointPx = [from[0] + at * (to[0] - from[0]), from[1] + at * (to[1] - from[1])];
    // The fillet may stand on any edge of the die: there a wire is not told from it.
    return distanceTo(inside, middle) > 0 ? Number.NaN : mean;
  });
}

/** Over the parts that have a value in this stretch; none (NaN) where most have not. */
function stretch(profiles: readonly (readonly number[])[], of: (values: number[]) => number): number[] {
  return Array.from({ length: stretchesOn }, (_, k) => {
    const seen = profiles.map((p) => p[k] as number).filter((v) => !Number.isNaN(v));
    return seen.length > 0.5 * profiles.length ? of(seen) : Number.NaN;
  });
}
