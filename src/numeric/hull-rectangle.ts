import { RangeOfArgumentError } from "./errors.ts";
import type { PointPx } from "./image.ts";

/** A turned rectangle. */
export interface TurnedRectangle {
  readonly centre: PointPx;
  readonly sizeLong: number;
  readonly sizeShort: number;
  /** Direction of the long side, in (-pi/2, pi/2], from x towards y (down). */
  readonly angleRad: number;
  /** In order round the rectangle: (-,-), (+,-), (+,+), (-,+) of (long, short). */
  readonly corners: readonly [PointPx, PointPx, PointPx, PointPx];
}

function turnOf(o: PointPx, p: PointPx, q: PointPx): number {
  return (p[0] - o[0]) * (q[1] - o[1]) - (p[1] - o[1]) * (q[0] - o[0]);
}

/**
 * Convex hull by the monotone chain; no three points of the result are in line.
 * Order: from the leftmost (then topmost) point, clockwise as seen with y down.
 */
export function convexHull(points: readonly PointPx[]): PointPx[] {
  const sorted = [...points].sort((p, q) => p[0] - q[0] || p[1] - q[1]);
  const unique = sorted.filter((p, i) => i === 0 || p[0] !== sorted[i - 1][0] || p[1] !== sorted[i - 1][1]);
  if (unique.length < 3) return unique;
  const chain = (ordered: readonly PointPx[]) => {
    const hull: PointPx[] = [];
    for (const point of ordered) {
      while (hull.length >= 2 && turnOf(hull[hull.length - 2], hull[hull.length - 1], point) <= 0) hull.pop();
      hull.push(point);
    }
    hull.pop();
    return hull;
  };
  return [...chain(unique), ...chain([...unique].reverse())];
}

/**
 * The rectangle of least area round the points: one side lies along a hull edge.
 * Sizes are between the given points; a caller with pixel centres adds a pixel if it wants outer edges.
 *
 * @throws RangeOfArgumentError when there are no points
 */
export function minimumAreaRectangle(points: readonly PointPx[]): TurnedRectangle {
  if (points.length === 0) throw new RangeOfArgumentError("points", "at least one point", "none");
  const hull = convexHull(points);
  let best: { area: number; angle: number; low: [number, number]; high: [number, number] } | undefined;
  for (let i = 0; i < hull.length; i++) {
    const from = hull[i];
    const to = hull[(i + 1) % hull.length];
    const angle = Math.atan2(to[1] - from[1], to[0] - from[0]);
    const extent = extentAlong(hull, angle);
    const area = (extent.high[0] - extent.low[0]) * (extent.high[1] - extent.low[1]);
    if (best === undefined || area < best.area) best = { area, angle, ...extent };
  }
  const { angle, low, high } = best as NonNullable<typeof best>;
  const along = high[0] - low[0];
  const across = high[1] - low[1];
  const middle = [(low[0] + high[0]) / 2, (low[1] + high[1]) / 2];
  const cos = Math.cos(angle);
  const sin = Math.sin(angle);
  const centre: PointPx = [cos * middle[0] - sin * middle[1], sin * middle[0] + cos * middle[1]];
  return turnedRectangle(centre, along, across, angle);
}

function extentAlong(
  hull: readonly PointPx[],
  angle: number,
): { low: [number, number]; high: [number, number] } {
  const cos = Math.cos(angle);
  const sin = Math.sin(angle);
  const low: [number, number] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
  const high: [number, number] = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const [x, y] of hull) {
    const u = cos * x + sin * y;
    const v = cos * y - sin * x;
    low[0] = Math.min(low[0], u);
    high[0] = Math.max(high[0], u);
    low[1] = Math.min(low[1], v);
    high[1] = Math.max(high[1], v);
  }
  return { low, high };
}

function turnedRectangle(centre: PointPx, along: number, across: number, angle: number): TurnedRectangle {
  const sizeLong = Math.max(along, across);
  const sizeShort = Math.min(along, across);
  let angleRad = along >= across ? angle : angle + Math.PI / 2;
  while (angleRad > Math.PI / 2) angleRad -= Math.PI;
  while (angleRad <= -Math.PI / 2) angleRad += Math.PI;
  const cos = Math.cos(angleRad);
  const sin = Math.sin(angleRad);
  const corner = (s: number, t: number): PointPx => [
    centre[0] + (s * sizeLong * cos - t * sizeShort * sin) / 2,
    centre[1] + (s * sizeLong * sin + t * sizeShort * cos) / 2,
  ];
  return {
    centre,
    sizeLong,
    sizeShort,
    angleRad,
    corners: [corner(-1, -1), corner(1, -1), corner(1, 1), corner(-1, 1)],
  };
}
