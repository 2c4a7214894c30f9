import type { PointPx } from "../../numeric/image.ts";
import { stretches } from "./read-course.ts";
import type { WireCourse } from "./search-courses.ts";
import { courseEnd } from "./search-courses.ts";
import type { WirePart, WireScene } from "./wire-parts.ts";

/**
 * How far from a wire's course the nearest other wire of its part runs.
 *
 * @param others where the part's other wires run, about one point a pixel
 * @returns px by stretch, from the lead to the die
 */
export function roomBeside(
  part: WirePart,
  course: WireCourse,
  others: readonly (readonly PointPx[])[],
  scene: WireScene,
): number[] {
  const [x0, y0] = course.tipPx;
  const [x1, y1] = courseEnd(course, part.die ?? scene.die);
  return Array.from({ length: stretches }, (_, k) => {
    const t = (k + 0.5) / stretches;
    const [x, y] = [x0 + t * (x1 - x0), y0 + t * (y1 - y0)];
    let least = Number.POSITIVE_INFINITY;
    for (const line of others)
      for (const [u, v] of line) least = Math.min(least, (u - x) ** 2 + (v - y) ** 2);
    return Math.sqrt(least);
  });
}

/** Another wire is nearer than usual below this share of the usual room. */
const leastOfUsual = 0.6;
/** Wires farther off than this do not get into each other's way, px. */
const nearPx = 8;

/** Share of some stretches in which another wire has come so near that what is seen may be its. */
export function crowdedShare(
  roomPx: readonly number[],
  usualPx: readonly number[],
  from: number,
  to: number,
): number {
  let crowded = 0;
  for (let k = from; k < to; k++) {
    const room = roomPx[k] as number;
    if (room < nearPx && room < leastOfUsual * (usualPx[k] as number)) crowded++;
  }
  return crowded / Math.max(1, to - from);
}
