import type { PointPx } from "./image.ts";
import { median } from "./order.ts";

/**
 * A rectangle at any angle. `length` runs along (cos angle, sin angle), `width` across it;
 * y points down, so a positive angle turns clockwise on screen.
 */
export interface OrientedRectangle {
  readonly centrePx: PointPx;
  readonly angleRad: number;
  readonly lengthPx: number;
  readonly widthPx: number;
}

/** Corners in order: (-,-), (+,-), (+,+), (-,+) in the rectangle's own (along, across) axes. */
export function rectangleCorners(rect: OrientedRectangle): [PointPx, PointPx, PointPx, PointPx] {
  return [
    pointInRectangle(rect, -0.5, -0.5),
    pointInRectangle(rect, 0.5, -0.5),
    pointInRectangle(rect, 0.5, 0.5),
    pointInRectangle(rect, -0.5, 0.5),
  ];
}

/** The point at fractions (along, across) of length and width from the centre. */
export function pointInRectangle(rect: OrientedRectangle, along: number, across: number): PointPx {
  const c = Math.cos(rect.angleRad);
  const s = Math.sin(rect.angleRad);
  const u = along * rect.lengthPx;
  const v = across * rect.widthPx;
  return [rect.centrePx[0] + c * u - s * v, rect.centrePx[1] + s * u + c * v];
}

/** The fractions (along, across) of length and width from the centre at which a point lies. */
export function fractionsIn(rect: OrientedRectangle, [x, y]: PointPx): PointPx {
  const c = Math.cos(rect.angleRad);
  const s = Math.sin(rect.angleRad);
  const [dx, dy] = [x - rect.centrePx[0], y - rect.centrePx[1]];
  return [(c * dx + s * dy) / rect.lengthPx, (-s * dx + c * dy) / rect.widthPx];
}

/** The same rectangle with sides moved outwards by `marginPx` (inwards when negative). */
export function growRectangle(rect: OrientedRectangle, marginPx: number): OrientedRectangle {
  return {
    ...rect,
    lengthPx: Math.max(0, rect.lengthPx + 2 * marginPx),
    widthPx: Math.max(0, rect.widthPx + 2 * marginPx),
  };
}

/** The rectangle of median place, turn and sides of at least one; for such as lie nearly alike. */
export function medianRectangle(rects: readonly OrientedRectangle[]): OrientedRectangle {
  return {
    centrePx: [median(rects.map((r) => r.centrePx[0])), median(rects.map((r) => r.centrePx[1]))],
    angleRad: median(rects.map((r) => r.angleRad)),
    lengthPx: median(rects.map((r) => r.lengthPx)),
    widthPx: median(rects.map((r) => r.widthPx)),
  };
}
