import type { PointPx } from "../../numeric/image.ts";
import { median } from "../../numeric/order.ts";
import type { OrientedRectangle } from "../../numeric/oriented-rectangle.ts";
import { pointInRectangle } from "../../numeric/oriented-rectangle.ts";
import { sampleStrip } from "./strip.ts";
import { mostInRow, smoothRows, standOut, stretchOf } from "./strip-line.ts";
import type { LeadTip, WirePart, WireScene } from "./wire-parts.ts";

/** Where a wire of the lot runs, in the frame: straight from a lead's tip to the die's edge. */
export interface WireCourse {
  readonly lead: number;
  readonly tipPx: PointPx;
  /** Where it crosses the die's edge, in fractions of the die's length and width from its middle. */
  readonly onDie: PointPx;
}

/** A course with how well the parts show it. */
export interface FoundCourse {
  readonly course: WireCourse;
  /** Attenuation by which it stands out along its weakest third, middle over the parts. */
  readonly strength: number;
}

/** A part's own end of a course on its die. */
export function courseEnd({ onDie }: WireCourse, die: OrientedRectangle): PointPx {
  return pointInRectangle(die, onDie[0], onDie[1]);
}

/** Sideways distance by which a wire may miss the straight line between its ends, px. */
export const swayPx = 3;
/**
 * Bonds are set to the lead as much as to the die, and rise above the frame: beside the middle of a cone of rays they
 * are seen further out. Share of the body's length by which a wire's end may move along the die's edge.
 */
const driftShare = 0.02;
const edgeStepPx = 3;
/** The same where wires lie close, as a share of their distance. */
const closeDrift = 0.4;
/** Wires reach the die's edge within this angle of its normal. */
const mostSlant = (65 * Math.PI) / 180;

/**
 * Looks along every line from a lead tip to the die's edge and takes those on which the parts agree, the strongest
 * first. A few parts are asked first, the others only where those show something.
 *
 * @param flankPx distance from a wire's middle at which what it crosses is seen
 */
export function searchCourses(
  parts: readonly WirePart[],
  scene: WireScene,
  tip: Pick<LeadTip, "lead" | "tipPx">,
  flankPx: number,
): FoundCourse[] {
  const courses = facingEdge(scene.die, tip).map(
    (onDie): WireCourse => ({ lead: tip.lead, tipPx: tip.tipPx, onDie }),
  );
  if (!courses.length || !parts.length) return [];
  const ends = courses.map((course) => courseEnd(course, scene.die));
  const drift = driftPx(scene);
  const near = ends.map((p) =>
    ends.flatMap((q, k) => (Math.hypot(p[0] - q[0], p[1] - q[1]) <= drift ? [k] : [])),
  );
  const own = parts.map(() => courses.map(() => Number.NaN));
  const ask = (p: number, k: number) => {
    const row = own[p] as number[];
    if (Number.isNaN(row[k] as number))
      row[k] = lineStrength(parts[p] as WirePart, courses[k] as WireCourse, scene, flankPx);
    return row[k] as number;
  };
  const shown = (p: number, k: number) => Math.max(...(near[k] as number[]).map((m) => ask(p, m)));
  const over = (count: number, k: number) => Array.from({ length: count }, (_, p) => shown(p, k));
  const few = Math.min(firstAsked, parts.length);
  const first = courses.map((_, k) => median(over(few, k)));
  const promising = keepShare * Math.max(...first);
  const found = courses.map((course, k): FoundCourse & { end: PointPx } => {
    const end = ends[k] as PointPx;
    if (!((first[k] as number) > Math.max(0, promising))) return { course, strength: 0, end };
    return { course, strength: median(over(parts.length, k)), end };
  });
  return apart(found, 2 * drift + swayPx + flankPx);
}

/** Parts asked before the others, and the share of their strongest course below which the others are not asked. */
const firstAsked = 3;
const keepShare = 0.4;

/** How far a wire's end may move along the die's edge from part to part. */
export function driftPx({ body, closePx = Number.POSITIVE_INFINITY }: WireScene): number {
  return Math.min(Math.max(2, driftShare * body.lengthPx), closeDrift * closePx);
}

/** The strongest courses whose ends lie apart. */
function apart(found: readonly (FoundCourse & { end: PointPx })[], leastPx: number): FoundCourse[] {
  const taken: (FoundCourse & { end: PointPx })[] = [];
  for (const f of [...found].sort((p, q) => q.strength - p.strength)) {
    if (f.strength <= 0) break;
    if (taken.every(({ end }) => Math.hypot(end[0] - f.end[0], end[1] - f.end[1]) >= leastPx)) taken.push(f);
  }
  return taken.map(({ course, strength }) => ({ course, strength }));
}

/**
 * How far the densest line stands out over the lightest one near a course, in the weakest third of its length: a line
 * that crosses another wire or runs along an edge stands out over a part of its length only.
 */
export function lineStrength(part: WirePart, course: WireCourse, scene: WireScene, flankPx: number): number {
  const end = courseEnd(course, part.die ?? scene.die);
  const strip = sampleStrip(part.image, course.tipPx, end, swayPx + flankPx);
  const { lengthPx } = strip;
  const smooth = smoothRows(strip);
  const dense = mostInRow(standOut(smooth, flankPx, 1), lengthPx);
  const light = mostInRow(standOut(smooth, flankPx, -1), lengthPx);
  let weakest = Number.POSITIVE_INFINITY;
  for (let third = 0; third < 3; third++) {
    const [from, to] = stretchOf(third, 3, lengthPx);
    let sum = 0;
    for (let t = from; t < to; t++) sum += (dense[t] as number) - (light[t] as number);
    weakest = Math.min(weakest, sum / (to - from));
  }
  return weakest;
}

/** Points of the die's edge that a straight wire from the tip meets first and not too slant. */
function facingEdge(die: OrientedRectangle, { tipPx }: Pick<LeadTip, "tipPx">): PointPx[] {
  const c = Math.cos(die.angleRad);
  const s = Math.sin(die.angleRad);
  const facing: PointPx[] = [];
  const sides: { normal: PointPx; lengthPx: number; at: (t: number) => PointPx }[] = [
    { normal: [c, s], lengthPx: die.widthPx, at: (t) => [0.5, t] },
    { normal: [-s, c], lengthPx: die.lengthPx, at: (t) => [t, 0.5] },
    { normal: [-c, -s], lengthPx: die.widthPx, at: (t) => [-0.5, t] },
    { normal: [s, -c], lengthPx: die.lengthPx, at: (t) => [t, -0.5] },
  ];
  for (const { normal, lengthPx, at } of sides) {
    const steps = Math.max(2, Math.round(lengthPx / edgeStepPx));
    for (let k = 0; k <= steps; k++) {
      const [along, across] = at(k / steps - 0.5);
      const [x, y] = pointInRectangle(die, along, across);
      const [dx, dy] = [tipPx[0] - x, tipPx[1] - y];
      const distance = Math.hypot(dx, dy);
      if (distance > 6 && normal[0] * dx + normal[1] * dy > Math.cos(mostSlant) * distance)
        facing.push([along, across]);
    }
  }
  return facing;
}
