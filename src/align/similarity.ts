import type { PointPx } from "../numeric/image.ts";

/**
 * An affine map of pixel coordinates: x' = a x + b y + c, y' = d x + e y + f.
 * A similarity (turn, uniform scale, optional mirror) is the special case with orthogonal equal-length columns.
 */
export interface AffineMap {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly d: number;
  readonly e: number;
  readonly f: number;
}

/** Applies a map to a point. */
export function applyMap(map: AffineMap, [x, y]: PointPx): PointPx {
  return [map.a * x + map.b * y + map.c, map.d * x + map.e * y + map.f];
}

/** The map that first applies `first`, then `second`. */
export function composeMaps(second: AffineMap, first: AffineMap): AffineMap {
  return {
    a: second.a * first.a + second.b * first.d,
    b: second.a * first.b + second.b * first.e,
    c: second.a * first.c + second.b * first.f + second.c,
    d: second.d * first.a + second.e * first.d,
    e: second.d * first.b + second.e * first.e,
    f: second.d * first.c + second.e * first.f + second.f,
  };
}

/** The inverse of an invertible map. */
export function invertMap(map: AffineMap): AffineMap {
  const det = map.a * map.e - map.b * map.d;
  const a = map.e / det;
  const b = -map.b / det;
  const d = -map.d / det;
  const e = map.a / det;
  return { a, b, c: -(a * map.c + b * map.f), d, e, f: -(d * map.c + e * map.f) };
}
