import type { Image } from "../../../numeric/image.ts";
import { median, quantile } from "../../../numeric/order.ts";
import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";
import { growRectangle, medianRectangle } from "../../../numeric/oriented-rectangle.ts";
import type { BallGrid } from "../../wires/ball-grid.ts";
import { withoutBalls } from "../../wires/ball-grid.ts";
import { findBondFingers } from "../../wires/bond-fingers.ts";
import type { LeadTip, WirePart, WireScene } from "../../wires/wire-parts.ts";
import type { GroupScene } from "../details/group-scenes.ts";
import { groupAverage } from "../grouping/group-average.ts";
import { insideValues, lookInsideBody } from "./inside-body.ts";
import { levelInside, measureDie } from "./measure-part.ts";

/** A group's parts as their wires are read: without balls, dies measured beneath them. */
export interface BallGridView {
  readonly parts: readonly WirePart[];
  readonly scene: WireScene;
  readonly fingers: readonly LeadTip[];
}

/** The plateau under the balls ends beyond the attach's fillet; the die's edge lies this share of its side inside. */
const filletShare = 0.035;
/** The die's level is read this share of its shorter side within its edge. */
const insideShare = 0.3;
/** Dies of one construction have sides alike within this. */
const sideTolerance = 0.04;
/** From a die's middle, in its longer sides, as far as it and its surroundings are compared. */
const aroundShare = 0.6;
/** Mould and laminate beside the die, and how much of the others' step over that is a die too. */
const mouldQuantile = 0.25;
const leastOfStep = 0.6;
/** Share of the parts in which the die's edges must be found. */
const leastDies = 0.5;

/**
 * Looks at a group's parts beneath their balls: the dies, and where wires end on the laminate.
 *
 * @param images each part of the lot in its frame, attenuation
 * @returns null where the dies or their wires do not show
 */
export function ballGridView(
  images: readonly Image[],
  { members, scene, openNoise }: Pick<GroupScene, "members" | "scene" | "openNoise">,
  balls: BallGrid,
): BallGridView | null {
  const bare = members.map((i) => withoutBalls(images[i] as Image, balls));
  const average = groupAverage(bare, [...bare.keys()]);
  const dies = diesBeneath(bare, average, scene.body, openNoise);
  const seen = dies.filter((die) => die !== null);
  if (!seen.length || seen.length < leastDies * dies.length) return null;
  const parts = bare.map((image, k): WirePart => ({ image, die: dies[k] ?? null }));
  const found = findBondFingers(parts, scene, openNoise);
  if (!found) return null;
  const die = medianRectangle(seen);
  return { parts, scene: { ...scene, die, closePx: found.closePx, balls }, fingers: found.fingers };
}

/** Each part's die by its own edges, started from what the average shows. */
function diesBeneath(
  bare: readonly Image[],
  average: Image,
  body: OrientedRectangle,
  noise: number,
): (OrientedRectangle | null)[] {
  const { pad } = lookInsideBody(average, body, noise);
  if (!pad) return bare.map(() => null);
  const start = growRectangle(pad, -filletShare * Math.min(pad.lengthPx, pad.widthPx));
  const middle = growRectangle(start, -insideShare * Math.min(start.lengthPx, start.widthPx));
  const levels = bare.map((image) => levelInside(image, middle));
  const measured = (k: number, from: OrientedRectangle) => {
    const level = levels[k] ?? null;
    return level === null
      ? null
      : (measureDie({ image: bare[k] as Image }, from, level, noise)?.rectangle ?? null);
  };
  const first = bare.map((_, k) => measured(k, start));
  const seen = first.filter((die) => die !== null);
  if (!seen.length) return first;
  // Where the others have theirs an edge is found that was too far from the first start. A die whose edge hardly
  // shows over its pad is taken to lie where theirs do, if the middle is as dense over the mould.
  const usual = medianRectangle(seen);
  const steps = bare.map((image, k) => (levels[k] ?? 0) - quantile(insideValues(image, body), mouldQuantile));
  const least = leastOfStep * median(steps.filter((_, k) => first[k]));
  const sides = [usual.lengthPx, usual.widthPx] as const;
  const alike = (die: OrientedRectangle, [length, width]: readonly [number, number]) =>
    Math.abs(die.lengthPx / length - 1) < sideTolerance && Math.abs(die.widthPx / width - 1) < sideTolerance;
  return bare.map((_, k) => {
    const own = first[k] ?? measured(k, { ...usual, angleRad: 0 });
    if (own) return alike(own, sides) ? own : null;
    // Laid a quarter turn round (a square grid hides that) it has its wires elsewhere.
    const straight = likeness(bare[k] as Image, average, usual, false);
    if (straight < likeness(bare[k] as Image, average, usual, true)) return null;
    return (steps[k] as number) > least ? usual : null;
  });
}

/** Correlation of a part with the average about the die, as it lies or turned by a quarter. */
function likeness(part: Image, average: Image, die: OrientedRectangle, turned: boolean): number {
  const [cx, cy] = die.centrePx.map(Math.round) as [number, number];
  const half = Math.round(aroundShare * Math.max(die.lengthPx, die.widthPx));
  let [n, a, b, aa, bb, ab] = [0, 0, 0, 0, 0, 0];
  for (let y = -half; y <= half; y += 2) {
    for (let x = -half; x <= half; x += 2) {
      const [u, v] = turned ? [-y, x] : [x, y];
      const p = part.data[(cy + v) * part.width + cx + u] as number;
      const q = average.data[(cy + y) * average.width + cx + x] as number;
      if (!Number.isFinite(p) || !Number.isFinite(q)) continue;
      n++;
      a += p;
      b += q;
      aa += p * p;
      bb += q * q;
      ab += p * q;
    }
  }
  return (n * ab - a * b) / Math.sqrt(Math.max(1e-12, (n * aa - a * a) * (n * bb - b * b)));
}
