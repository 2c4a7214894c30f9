import { labelComponents } from "../../numeric/components.ts";
import type { Image, PointPx } from "../../numeric/image.ts";
import { createMask } from "../../numeric/image.ts";
import { median, quantile } from "../../numeric/order.ts";
import type { OrientedRectangle } from "../../numeric/oriented-rectangle.ts";

/** The solder balls under a body, as the average shows them. */
export interface BallGrid {
  readonly centresPx: readonly PointPx[];
  readonly radiusPx: number;
  /** How far from its centre a ball and its blurred rim reach; no ball's reach meets another's. */
  readonly reachPx: number;
  /** Attenuation of a ball's middle over what lies around it. */
  readonly height: number;
}

/** Fewer are no grid: mounting holes, test pads. */
const fewestBalls = 9;
/** Balls are the pieces of metal: of those as large as a quarter of the middle one, this share. */
const leastShare = 0.7;
/** By how much sides may differ, and area from that of a disc in its box. */
const mostOblong = 0.25;
const mostOffDisc = 0.15;
/** By how much a ball's area may differ from the middle one's. */
const mostOffSize = 0.35;
/** A ball with its blurred rim, in radii at half its height. */
const reachShare = 1.5;

/**
 * The balls of a ball grid: round pieces alike in size, most of the densest metal within the body.
 *
 * @param image average of the lot in the frame, attenuation
 * @returns null where the densest metal is not such pieces: then it is a lead frame, or does not show
 */
export function findBallGrid(image: Image, body: OrientedRectangle): BallGrid | null {
  const { width, height } = image;
  const inside = createMask(width, height);
  const values: number[] = [];
  eachInside(image, body, (i, v) => {
    inside.data[i] = 1;
    values.push(v);
  });
  if (!values.length) return null;
  const [around, top] = [median(values), quantile(values, 0.985)];
  const level = (around + top) / 2;
  const dense = createMask(width, height);
  eachInside(image, body, (i, v) => {
    if (v > level) dense.data[i] = 1;
  });
  const pieces = labelComponents(dense, 4).components.filter(({ areaPx }) => areaPx >= 20);
  const round = pieces.filter(({ areaPx, boxPx: [, , w, h] }) => {
    const disc = (Math.PI / 4) * w * h;
    return (
      Math.abs(w - h) <= Math.max(2, mostOblong * Math.max(w, h)) && Math.abs(areaPx / disc - 1) < mostOffDisc
    );
  });
  if (round.length < fewestBalls) return null;
  const usual = median(round.map(({ areaPx }) => areaPx));
  const alike = round.filter(({ areaPx }) => Math.abs(areaPx / usual - 1) < mostOffSize);
  const large = pieces.filter(({ areaPx }) => areaPx > 0.25 * usual);
  if (alike.length < fewestBalls || alike.length < leastShare * large.length) return null;
  const centresPx = alike.map(({ centroidPx }) => centroidPx);
  const radiusPx = Math.sqrt(usual / Math.PI);
  const reachPx = Math.min(reachShare * radiusPx + 1, 0.5 * nearest(centresPx) - 0.5);
  return reachPx > 1.1 * radiusPx ? { centresPx, radiusPx, reachPx, height: top - around } : null;
}

function eachInside(image: Image, body: OrientedRectangle, visit: (at: number, value: number) => void): void {
  const { width, height, data } = image;
  const [cx, cy] = body.centrePx;
  const [halfL, halfW] = [0.48 * body.lengthPx, 0.48 * body.widthPx];
  for (let y = Math.max(0, Math.ceil(cy - halfW)); y < Math.min(height, cy + halfW); y++) {
    for (let x = Math.max(0, Math.ceil(cx - halfL)); x < Math.min(width, cx + halfL); x++) {
      const v = data[y * width + x] as number;
      if (!Number.isNaN(v)) visit(y * width + x, v);
    }
  }
}

/** Median distance from a ball to its nearest neighbour. */
function nearest(centres: readonly PointPx[]): number {
  return median(
    centres.map(([x, y], k) =>
      Math.min(
        ...centres.map(([u, v], m) => (m === k ? Number.POSITIVE_INFINITY : Math.hypot(u - x, v - y))),
      ),
    ),
  );
}

/** Rings of a ball's profile lie this far apart, px. */
const ringStepPx = 0.5;
/** Within this share of the radius the balls' common shape counts: a wire fills the middle of a ball's own rings. */
const commonShare = 0.45;

/**
 * A picture with its balls taken away, so that what lies over and under them shows: from each ball its own profile
 * by distance from its own centre, which wires and tracks, being thin, hardly change.
 */
export function withoutBalls(image: Image, grid: BallGrid): Image {
  const { width, data } = image;
  const own = grid.centresPx.flatMap((at) => {
    const centre = ownCentre(image, at, grid);
    return centre ? [{ centre, profile: profileOf(image, centre, grid.reachPx) }] : [];
  });
  const inner = Math.ceil((commonShare * grid.radiusPx) / ringStepPx);
  const common = Array.from({ length: inner }, (_, k) =>
    own.length ? median(own.map(({ profile }) => (profile[k] as number) - (profile[inner] as number))) : 0,
  );
  const out = Float32Array.from(data);
  for (const { centre, profile } of own) {
    const shape = profile.map((v, k) => (k < inner ? (common[k] as number) + (profile[inner] as number) : v));
    const base = shape.at(-1) as number;
    eachAround(image, centre, grid.reachPx, (x, y, r) => {
      const at = r / ringStepPx;
      const k = Math.floor(at);
      const ball =
        (shape[k] as number) * (k + 1 - at) + (shape[Math.min(k + 1, shape.length - 1)] as number) * (at - k);
      out[y * width + x] = (data[y * width + x] as number) - (ball - base);
    });
  }
  return { ...image, data: out };
}

/** Where a ball lies in this picture: the middle of what stands above a third of its height; null where cut off. */
function ownCentre(image: Image, [cx, cy]: PointPx, { radiusPx, reachPx, height }: BallGrid): PointPx | null {
  const rim: number[] = [];
  const around: [number, number, number][] = [];
  let centre: PointPx = [cx, cy];
  eachAround(image, centre, reachPx + 2, (x, y, r) => {
    const v = image.data[y * image.width + x] as number;
    around.push([x, y, v]);
    if (r > reachPx - 1) rim.push(v);
  });
  if (around.some(([, , v]) => Number.isNaN(v)) || around.length < 3 * radiusPx ** 2) return null;
  const base = median(rim);
  let [sum, sumX, sumY] = [0, 0, 0];
  for (const [x, y, v] of around) {
    const weight = Math.min(1, Math.max(0, (v - base) / height - 0.35) / 0.3);
    sum += weight;
    sumX += weight * x;
    sumY += weight * y;
  }
  if (!(sum > 0.5 * radiusPx ** 2)) return null;
  centre = [sumX / sum, sumY / sum];
  return Math.hypot(centre[0] - cx, centre[1] - cy) < radiusPx ? centre : null;
}

/** Mean by distance from the centre. */
function profileOf(image: Image, centre: PointPx, reachPx: number): number[] {
  const rings = Math.floor(reachPx / ringStepPx) + 1;
  const sums = new Float64Array(rings + 1);
  const weights = new Float64Array(rings + 1);
  eachAround(image, centre, reachPx + ringStepPx, (x, y, r) => {
    const at = r / ringStepPx;
    const k = Math.floor(at);
    const v = image.data[y * image.width + x] as number;
    if (k > rings || Number.isNaN(v)) return;
    const share = at - k;
    sums[k] += (1 - share) * v;
    weights[k] += 1 - share;
    if (k < rings) {
      sums[k + 1] += share * v;
      weights[k + 1] += share;
    }
  });
  const profile: number[] = [];
  for (let k = 0; k < rings; k++)
    profile.push(
      (weights[k] as number) > 0
        ? (sums[k] as number) / (weights[k] as number)
        : (profile[k - 1] ?? Number.NaN),
    );
  // The middle holds few pixels; the first ring that has any stands for those before it.
  const first = profile.find((v) => !Number.isNaN(v)) ?? 0;
  return profile.map((v) => (Number.isNaN(v) ? first : v));
}

function eachAround(
  { width, height }: Image,
  [cx, cy]: PointPx,
  reachPx: number,
  visit: (x: number, y: number, distance: number) => void,
): void {
  for (let y = Math.max(0, Math.ceil(cy - reachPx)); y <= Math.min(height - 1, cy + reachPx); y++) {
    for (let x = Math.max(0, Math.ceil(cx - reachPx)); x <= Math.min(width - 1, cx + reachPx); x++) {
      const r = Math.hypot(x - cx, y - cy);
      if (r <= reachPx) visit(x, y, r);
    }
  }
}
