import type { Image, PointPx } from "../../../numeric/image.ts";
import { quantile } from "../../../numeric/order.ts";
import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";
import { growRectangle, pointInRectangle } from "../../../numeric/oriented-rectangle.ts";
import type { FittedRectangle } from "../../../numeric/rectangle-edges.ts";
import { fitRectangleEdges, footBelow } from "../../../numeric/rectangle-edges.ts";

/**
 * Moulded sides are drafted, so the outer outline (the one a data sheet gives) lies where attenuation starts
 * to rise, not half-way up: the slope is found at `slopeShare` of the mould's own attenuation (high enough to
 * stand clear of a pocket wall) and followed down to `footShare` of that.
 */
const slopeShare = 0.72;
const footShare = 0.15;
/** A slope ends where it has less than this share of its steepest rise. */
const endShare = 0.15;
/** A rise this share as steep as the steepest may be the body's own edge. */
const steepShare = 0.3;

/** A fit is believed at once when this share of its profiles agrees. */
const believedShare = 0.4;

/**
 * The body's four edges at full resolution.
 *
 * @param starts give coarse bodies, one for each direction that the edges may have, the likeliest first
 * @returns the first fit that most profiles agree with, else the one with which most do; null when none fits
 */
export function fitBody(
  attenuation: Image,
  starts: readonly (() => OrientedRectangle)[],
  reducedBy: number,
): FittedRectangle | null {
  let best: FittedRectangle | null = null;
  // A direction taken from slanting leads can be off by ten degrees.
  for (const turnRad of [0.05, 0.2]) {
    for (const start of starts) {
      const fit = fitFrom(attenuation, start(), reducedBy, turnRad);
      if (fit && (!best || agreement(fit) > agreement(best))) best = fit;
      if (best && agreement(best) > believedShare) return best;
    }
    if (best) return best;
  }
  return null;
}

/** Smallest share of agreeing profiles among the sides. */
function agreement(fit: FittedRectangle): number {
  return Math.min(...fit.sides.map((side) => side.agreeing / side.profiles));
}

function fitFrom(
  attenuation: Image,
  start: OrientedRectangle,
  reducedBy: number,
  turnRad: number,
): FittedRectangle | null {
  const searchPx = Math.max(3 * reducedBy + 3, 0.05 * Math.min(start.lengthPx, start.widthPx));
  const edgesFrom = (from: OrientedRectangle, levels: EdgeLevels, turn: number) =>
    fitRectangleEdges(attenuation, from, {
      searchPx,
      turnRad: turn,
      locate: footBelow(levels.outside + slopeShare * (levels.inside - levels.outside), footShare),
      leastShare: 0.12,
    });
  const levels = edgeLevels(attenuation, start, searchPx);
  const fitted = levels && edgesFrom(start, levels, turnRad);
  if (!fitted) return null;
  // Along a slanting line steps run into each other: seen along the edges there may be an outer, fainter one.
  const straight = { ...start, angleRad: fitted.rectangle.angleRad };
  const own = edgeLevels(attenuation, straight, searchPx);
  const fainter = own && own.inside - own.outside < 0.8 * (levels.inside - levels.outside);
  return (fainter && edgesFrom(straight, own, 0.01)) || fitted;
}

interface EdgeLevels {
  readonly inside: number;
  readonly outside: number;
}

/**
 * Attenuation on either side of the edge nearest to a rectangle: a body may have a step inside (a mould cap on its
 * substrate) and a pocket wall outside, both within the search.
 */
export function edgeLevels(image: Image, rect: OrientedRectangle, searchPx: number): EdgeLevels | null {
  const reach = Math.ceil(searchPx);
  const levels: number[] = [];
  for (let margin = -reach; margin <= reach; margin++) levels.push(bandLevel(image, rect, margin));
  const rise = (k: number) => (levels[k - 1] as number) - (levels[k + 1] as number);
  const last = levels.length - 2;
  let steepest = 0;
  for (let k = 1; k <= last; k++) steepest = Math.max(steepest, rise(k));
  if (!(steepest > 0)) return null;
  let edge = -1;
  for (let k = 1; k <= last; k++) {
    const peak = (k === 1 || rise(k) >= rise(k - 1)) && (k === last || rise(k) >= rise(k + 1));
    if (!peak || rise(k) < steepShare * steepest) continue;
    if (edge < 0 || Math.abs(k - reach) < Math.abs(edge - reach)) edge = k;
  }
  const end = endShare * rise(edge);
  let inner = edge;
  while (inner > 1 && rise(inner) > end) inner--;
  let outer = edge;
  while (outer < last && rise(outer) > end) outer++;
  return { inside: levels[inner] as number, outside: levels[outer] as number };
}

/** Low quartile of attenuation along a rectangle `marginPx` outside (or inside) the given one: the level between leads. */
function bandLevel(image: Image, rect: OrientedRectangle, marginPx: number): number {
  const moved = growRectangle(rect, marginPx);
  const values: number[] = [];
  const steps = 200;
  const take = ([x, y]: PointPx) => {
    const ix = Math.round(x);
    const iy = Math.round(y);
    if (ix >= 0 && iy >= 0 && ix < image.width && iy < image.height)
      values.push(image.data[iy * image.width + ix] as number);
  };
  for (let i = 0; i < steps; i++) {
    const t = 0.9 * ((i + 0.5) / steps - 0.5);
    take(pointInRectangle(moved, t, -0.5));
    take(pointInRectangle(moved, t, 0.5));
    take(pointInRectangle(moved, -0.5, t));
    take(pointInRectangle(moved, 0.5, t));
  }
  return values.length ? quantile(values, 0.25) : 0;
}
