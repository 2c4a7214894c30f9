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
  const lengthPx = Math.max(1, Math.round(Math.hypot(to[0] - from[0], to[1] - from[1])) + 1);
  const columns = 2 * halfWidthPx + 1;
  const data = new Float32Array(lengthPx * columns);
  const [ux, uy] = way(from, to);
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

/** A line through a strip, by the column of each row, in the picture. */
export function inFrame(line: Int16Array, { halfWidthPx }: Strip, from: PointPx, to: PointPx): PointPx[] {
  const [ux, uy] = way(from, to);
  return Array.from(line, (c, t): PointPx => {
    const n = c - halfWidthPx;
    return [from[0] + t * ux + n * uy, from[1] + t * uy - n * ux];
  });
}

/**
 * Pixels of a strip within `nearPx` beside some lines of the picture, 1 where one runs; null where none meets it.
 *
 * @param lines about one point a pixel
 */
export function onLines(
  { lengthPx, halfWidthPx }: Strip,
  from: PointPx,
  to: PointPx,
  lines: readonly (readonly PointPx[])[],
  nearPx: number,
): Uint8Array | null {
  const columns = 2 * halfWidthPx + 1;
  const [ux, uy] = way(from, to);
  let marked: Uint8Array | null = null;
  for (const [x, y] of lines.flat()) {
    const t = Math.round((x - from[0]) * ux + (y - from[1]) * uy);
    const n = (x - from[0]) * uy - (y - from[1]) * ux + halfWidthPx;
    if (t < -1 || t > lengthPx || n < -nearPx || n >= columns + nearPx) continue;
    marked ??= new Uint8Array(lengthPx * columns);
    // Neighbouring rows too: lines that cross the strip at a slant have less than one point a row.
    for (let row = Math.max(0, t - 1); row <= Math.min(lengthPx - 1, t + 1); row++) {
      const first = Math.max(0, Math.ceil(n - nearPx));
      const last = Math.min(columns - 1, Math.floor(n + nearPx));
      if (last >= first) marked.fill(1, row * columns + first, row * columns + last + 1);
    }
  }
  return marked;
}

/** What stands out in a strip, without what lies on marked pixels. */
export function without(over: Float32Array, marked: Uint8Array | null): Float32Array {
  return marked ? over.map((v, i) => (marked[i] ? Number.NEGATIVE_INFINITY : v)) : over;
}

/** Unit vector from one point to another. */
function way(from: PointPx, to: PointPx): PointPx {
  const distance = Math.hypot(to[0] - from[0], to[1] - from[1]);
  return distance ? [(to[0] - from[0]) / distance, (to[1] - from[1]) / distance] : [1, 0];
}
