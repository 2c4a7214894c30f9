import type { Image, PointPx } from "../../numeric/image.ts";

/** A picture unrolled along a straight line: row t lies t px from the start, column halfWidthPx on the line. */
export interface Strip {
  readonly lengthPx: number;
  readonly halfWidthPx: number;
  /** Row-major, `lengthPx` rows of `2 halfWidthPx + 1`; NaN outside the picture. */
  readonly data: Float32Array;
}

/** Samples a strip bilinearly, one px apart both ways. Columns grow to the left of the direction of travel. */
export function sampleStrip(image: Image, from: PointPx, to: PointPx, halfWidthPx: number): Strip {
  const distance = Math.hypot(to[0] - from[0], to[1] - from[1]);
  const lengthPx = Math.max(1, Math.round(distance) + 1);
  const columns = 2 * halfWidthPx + 1;
  const data = new Float32Array(lengthPx * columns);
  const ux = distance ? (to[0] - from[0]) / distance : 1;
  const uy = distance ? (to[1] - from[1]) / distance : 0;
  for (let t = 0; t < lengthPx; t++) {
    for (let n = -halfWidthPx; n <= halfWidthPx; n++) {
      data[t * columns + n + halfWidthPx] = bilinear(
        image,
        from[0] + t * ux + n * uy,
        from[1] + t * uy - n * ux,
      );
    }
  }
  return { lengthPx, halfWidthPx, data };
}

/** The picture's value between pixels; NaN outside. */
function bilinear({ width, height, data }: Image, x: number, y: number): number {
  const x0 = Math.floor(x);
  const y0 = Math.floor(y);
  if (x0 < 0 || y0 < 0 || x0 >= width - 1 || y0 >= height - 1) return Number.NaN;
  const i = y0 * width + x0;
  const fx = x - x0;
  const fy = y - y0;
  const top = (data[i] as number) * (1 - fx) + (data[i + 1] as number) * fx;
  const bottom = (data[i + width] as number) * (1 - fx) + (data[i + width + 1] as number) * fx;
  return top * (1 - fy) + bottom * fy;
}
