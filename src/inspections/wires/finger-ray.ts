import type { Image, PointPx } from "../../numeric/image.ts";
import { median, quantile } from "../../numeric/order.ts";
import { sampleBilinear } from "../../numeric/warp.ts";

/** A ray from the die's edge and what stands out along it. */
export interface Ray {
  readonly from: PointPx;
  /** Radians from the x axis. */
  readonly way: number;
  readonly lengthPx: number;
  /** Where it ends: wires are a little bowed. */
  readonly endPx: PointPx;
  /** By how much it stands out, middle along it. */
  readonly contrast: number;
  /** What stands out, summed along it, in units of the usual wire. */
  readonly sum: number;
}

/** The least length over which a line shows itself to be a wire, px. */
export const shortestPx = 12;
/** The attach stands about the die: a wire is not told from its waves there. */
export const besideDiePx = 6;
/** From this share of the usual wire on it goes on; what is no more is track. */
const goesOn = 0.45;
/** A stretch counts for no more than this many times what is usual. */
const mostGain = 1.5;
/** A wire bows by no more. */
const mostBowPx = 4;
/** Lines closer than this are one, px beside flanks. */
const samePx = 1;

/** What stands out at a point against the denser one of both sides of a way. */
function standsOut(image: Image, x: number, y: number, c: number, s: number, flankPx: number): number {
  const left = sampleBilinear(image, x - flankPx * s, y + flankPx * c);
  const right = sampleBilinear(image, x + flankPx * s, y - flankPx * c);
  const over = sampleBilinear(image, x, y) - Math.max(left, right);
  return Number.isNaN(over) ? Number.NEGATIVE_INFINITY : over;
}

/** What stands out along a piece of a ray, from one distance to another, up to a pixel aside; mean. */
export function along(
  image: Image,
  [x, y]: PointPx,
  way: number,
  from: number,
  to: number,
  flankPx: number,
): number {
  const [c, s] = [Math.cos(way), Math.sin(way)];
  let [sum, count] = [0, 0];
  for (let t = from; t < to; t++) {
    const [px, py] = [x + t * c, y + t * s];
    let most = Number.NEGATIVE_INFINITY;
    for (let aside = -1; aside <= 1; aside++)
      most = Math.max(most, standsOut(image, px - aside * s, py + aside * c, c, s, flankPx));
    sum += most;
    count++;
  }
  return count ? sum / count : Number.NEGATIVE_INFINITY;
}

/** What stands out along a line that bows, px by px: each pixel begins where the one before was, half a pixel aside at most. */
function followed(image: Image, [x, y]: PointPx, way: number, longestPx: number, flankPx: number) {
  const [c, s] = [Math.cos(way), Math.sin(way)];
  const over: number[] = [];
  const asides: number[] = [];
  let at = 0;
  for (let t = besideDiePx; t < longestPx; t++) {
    const [px, py] = [x + t * c, y + t * s];
    let [best, next] = [Number.NEGATIVE_INFINITY, at];
    for (const step of [0, -0.5, 0.5]) {
      const aside = at + step;
      if (Math.abs(aside) > mostBowPx) continue;
      // What lies ahead tells better than one row.
      let sum = 0;
      for (let ahead = 0; ahead < 3; ahead++)
        sum += standsOut(image, px + ahead * c - aside * s, py + ahead * s + aside * c, c, s, flankPx);
      if (sum > best) [best, next] = [sum, aside];
    }
    at = next;
    over.push(standsOut(image, px - at * s, py + at * c, c, s, flankPx));
    asides.push(at);
  }
  return { over, asides };
}

/** The ray as long as it goes on as strongly as where it is strongest. */
export function grown(
  image: Image,
  { from, way }: { from: PointPx; way: number },
  usual: number,
  longestPx: number,
  flankPx: number,
): Ray {
  const { over, asides } = followed(image, from, way, longestPx, flankPx);
  const own = Math.max(usual, quantile(over.slice(0, shortestPx), 0.7));
  let [sum, best, last] = [0, 0, 0];
  for (const [k, v] of over.entries()) {
    sum += Math.max(-goesOn, Math.min(mostGain, v / own) - goesOn);
    if (sum > best) [best, last] = [sum, k];
    // Nothing for half as long as the shortest wire: it has ended.
    if (sum < best - (goesOn * shortestPx) / 2) break;
  }
  const lengthPx = best > 0 ? last + besideDiePx : 0;
  const aside = asides[last] ?? 0;
  const [c, s] = [Math.cos(way), Math.sin(way)];
  const endPx: PointPx = [from[0] + lengthPx * c - aside * s, from[1] + lengthPx * s + aside * c];
  const contrast = best > 0 ? median(over.slice(0, last + 1)) : 0;
  return { from, way, lengthPx, endPx, contrast, sum: (best * own) / usual };
}

/** Whether a third of the shorter line lies on the other, both taken as straight. */
export function sameLine(ray: Ray, other: Ray, flankPx: number): boolean {
  const least = flankPx + samePx;
  const length = Math.min(ray.lengthPx, other.lengthPx);
  let on = 0;
  for (let t = 0; t <= length; t++) {
    const [x, y] = onChord(ray, t / Math.max(1, ray.lengthPx));
    const [u, v] = onChord(other, t / Math.max(1, other.lengthPx));
    if (Math.hypot(x - u, y - v) < least) on++;
  }
  return on > length / 3;
}

function onChord({ from, endPx }: Ray, share: number): PointPx {
  return [from[0] + share * (endPx[0] - from[0]), from[1] + share * (endPx[1] - from[1])];
}
