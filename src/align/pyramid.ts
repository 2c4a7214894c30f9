import type { Image } from "../numeric/image.ts";
import { reduceByTwo } from "../numeric/resample.ts";
import type { AffineMap } from "./similarity.ts";

/** An image and its halvings: level 0 is the image, level n is 2^n times smaller (area means). */
export interface Pyramid {
  readonly levels: readonly Image[];
}

/** Builds halvings down to `leastPx` on the longer side. */
export function buildPyramid(image: Image, leastPx = 48): Pyramid {
  const levels: Image[] = [image];
  for (let last = image; Math.max(last.width, last.height) >= 2 * leastPx; ) {
    last = reduceByTwo(last);
    levels.push(last);
  }
  return { levels };
}

/** A map between full-size images, as seen between images reduced `from` and `to` times (pixel centres at integers). */
export function mapBetweenReduced(map: AffineMap, from: number, to: number): AffineMap {
  const a = (map.a * from) / to;
  const b = (map.b * from) / to;
  const d = (map.d * from) / to;
  const e = (map.e * from) / to;
  const of = (from - 1) / 2;
  const ot = (to - 1) / 2;
  return {
    a,
    b,
    c: (map.a * of + map.b * of + map.c - ot) / to,
    d,
    e,
    f: (map.d * of + map.e * of + map.f - ot) / to,
  };
}

/** The inverse of `mapBetweenReduced`. */
export function mapFromReduced(map: AffineMap, from: number, to: number): AffineMap {
  const a = (map.a * to) / from;
  const b = (map.b * to) / from;
  const d = (map.d * to) / from;
  const e = (map.e * to) / from;
  const of = (from - 1) / 2;
  const ot = (to - 1) / 2;
  return {
    a,
    b,
    c: to * map.c + ot - a * of - b * of,
    d,
    e,
    f: to * map.f + ot - d * of - e * of,
  };
}
