import type { Image, PointPx } from "../../numeric/image.ts";
import { median, quantile } from "../../numeric/order.ts";
import type { OrientedRectangle } from "../../numeric/oriented-rectangle.ts";
import { pointInRectangle } from "../../numeric/oriented-rectangle.ts";
import type { Ray } from "./finger-ray.ts";
import { along, besideDiePx, grown, sameLine, shortestPx } from "./finger-ray.ts";
import { distanceTo } from "./lead-metal.ts";
import type { WireScene } from "./wire-parts.ts";

/** A wire as a picture shows it: from the die's edge to its free end, the bond finger. */
export interface FingerWire {
  /** On the die's edge. */
  readonly fromPx: PointPx;
  /** Its outer end. */
  readonly fingerPx: PointPx;
  /** By how much it stands out against both sides, middle along it, attenuation. */
  readonly contrast: number;
}

const edgeStepPx = 2;
const turnStepRad = (4 * Math.PI) / 180;
/** Wires leave the die within 64 degrees of its edge's normal. */
const turns = 33;
/** Longest wire, and the least length that shows one, as shares of the body's length. */
const longestShare = 0.3;
const shortestShare = 0.03;
/** A line stands out by this many times the noise of open field. */
const leastOfNoise = 3;
/** Weaker rays than this share of the usual wire are not looked at closely. */
const leastOfCoarse = 0.3;
/** Wires of a lot are alike: weaker and shorter ones, against the middle one, are something else. */
const leastOfUsual = 0.45;

/**
 * Finds wires by themselves where no lead ends say where to look: lines denser than both their sides that run
 * from the die's edge outwards and end freely. One part is asked at a time: parts lie a little apart, wires sway, and
 * an average shows them blurred.
 *
 * @param image a part in the frame, attenuation, without what is denser than wires (balls)
 * @param flankPx distance from a wire's middle at which what it crosses is seen
 * @param openNoise attenuation noise of one pixel in open field
 * @returns those that stand out most first; none where nothing does
 */
export function findFingerWires(
  image: Image,
  { body, die }: Pick<WireScene, "body" | "die">,
  flankPx: number,
  openNoise: number,
): FingerWire[] {
  const shortest = Math.max(shortestPx, shortestShare * body.lengthPx);
  const least = leastOfNoise * openNoise;
  const rays = raysFrom(die);
  const strengths = rays.map(({ from, way }) => leastOfThirds(image, from, way, shortest, flankPx, least));
  const usual = usualStrength(rays, strengths, shortest, least);
  if (usual === null) return [];
  const longest = longestShare * body.lengthPx;
  const likely = rays.flatMap((ray, k): Ray[] =>
    (strengths[k] as number) > leastOfCoarse * usual && isPeak(strengths, k)
      ? [grown(image, ray, usual, longest, flankPx)]
      : [],
  );
  const taken: Ray[] = [];
  for (const ray of likely.sort((p, q) => q.sum - p.sum)) {
    if (ray.lengthPx < shortest) continue;
    if (taken.some((other) => sameLine(ray, other, flankPx))) continue;
    taken.push(ray);
  }
  if (!taken.length) return [];
  const away = (ray: Ray) => distanceTo(die, ray.endPx);
  // What runs along the die is its attach.
  const usualAway = median(taken.map(away));
  const wires = taken.flatMap((ray): FingerWire[] =>
    away(ray) > leastOfUsual * usualAway
      ? [{ fromPx: ray.from, fingerPx: ray.endPx, contrast: ray.contrast }]
      : [],
  );
  if (!wires.length) return [];
  const middle = median(wires.map(({ contrast }) => contrast));
  return wires.filter(({ contrast }) => contrast > leastOfUsual * middle);
}

/** Points about the die's edge, each with its ways outwards. */
function raysFrom(die: OrientedRectangle): { from: PointPx; way: number }[] {
  const rays: { from: PointPx; way: number }[] = [];
  for (let side = 0; side < 4; side++) {
    const lengthPx = side % 2 === 0 ? die.widthPx : die.lengthPx;
    const steps = Math.max(2, Math.round(lengthPx / edgeStepPx));
    for (let k = 0; k <= steps; k++) {
      const t = (side < 2 ? 1 : -1) * (k / steps - 0.5);
      const end = side < 2 ? 0.5 : -0.5;
      const from = side % 2 === 0 ? pointInRectangle(die, end, t) : pointInRectangle(die, t, end);
      const normal = die.angleRad + (side * Math.PI) / 2;
      for (let turn = 0; turn < turns; turn++)
        rays.push({ from, way: normal + turnStepRad * (turn - (turns - 1) / 2) });
    }
  }
  return rays;
}

/** How far a ray stands out in its weakest third; no further asked where one is below `least`. */
function leastOfThirds(
  image: Image,
  from: PointPx,
  way: number,
  lengthPx: number,
  flankPx: number,
  least: number,
): number {
  let weakest = Number.POSITIVE_INFINITY;
  for (let third = 2; third >= 0 && weakest > least; third--) {
    const [first, last] = [third, third + 1].map((k) => besideDiePx + Math.round((k * lengthPx) / 3));
    weakest = Math.min(weakest, along(image, from, way, first as number, last as number, flankPx));
  }
  return weakest;
}

/** Whether no ray beside this one, about the edge or turned, stands out more. */
function isPeak(strengths: readonly number[], k: number): boolean {
  const own = strengths[k] as number;
  for (let edge = -1; edge <= 1; edge++) {
    for (let turn = -1; turn <= 1; turn++) {
      const other = strengths[k + edge * turns + turn];
      if (other !== undefined && other > own) return false;
    }
  }
  return true;
}

/** Strength of the usual wire: middle of the rays that stand out most around them; null where none does. */
function usualStrength(
  rays: readonly { from: PointPx; way: number }[],
  strengths: readonly number[],
  lengthPx: number,
  least: number,
): number | null {
  const order = [...strengths.keys()].sort((p, q) => (strengths[q] as number) - (strengths[p] as number));
  const taken: { at: PointPx; strength: number }[] = [];
  for (const k of order) {
    const strength = strengths[k] as number;
    if (!(strength > least)) break;
    const { from, way } = rays[k] as { from: PointPx; way: number };
    const at: PointPx = [from[0] + (lengthPx / 2) * Math.cos(way), from[1] + (lengthPx / 2) * Math.sin(way)];
    if (taken.every((other) => Math.hypot(other.at[0] - at[0], other.at[1] - at[1]) > 5))
      taken.push({ at, strength });
  }
  if (!taken.length) return null;
  const values = taken.map(({ strength }) => strength);
  const strong = quantile(values, 0.9);
  return median(values.filter((v) => v > 0.4 * strong));
}
