import type { Image } from "./image.ts";
import { kernelEngine } from "./kernels/engine.ts";
import { warpByKernel } from "./kernels/warp-kernel.ts";
import { assertShape, outputImage } from "./shape.ts";

/** An affine map of pixel coordinates: x' = a x + b y + c, y' = d x + e y + f. */
export interface AffineLike {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly d: number;
  readonly e: number;
  readonly f: number;
}

/** Value at (x, y) between pixel centres, bilinear; `outside` beyond the outermost centres. */
export function sampleBilinear(image: Image, x: number, y: number, outside = Number.NaN): number {
  const { width, height, data } = image;
  if (!(x >= 0 && y >= 0 && x <= width - 1 && y <= height - 1)) return outside;
  const x0 = Math.min(Math.floor(x), Math.max(0, width - 2));
  const y0 = Math.min(Math.floor(y), Math.max(0, height - 2));
  const u = x - x0;
  const v = y - y0;
  const at = y0 * width + x0;
  const right = width > 1 ? 1 : 0;
  const down = height > 1 ? width : 0;
  const upper = data[at] + u * (data[at + right] - data[at]);
  const lower = data[at + down] + u * (data[at + down + right] - data[at + down]);
  return upper + v * (lower - upper);
}

/**
 * Value at (x, y) by Catmull-Rom cubic interpolation (exact for quadratics inside the picture), the edge pixel
 * repeated for taps outside; `outside` beyond the outermost centres.
 */
export function sampleCubic(image: Image, x: number, y: number, outside = Number.NaN): number {
  const { width, height, data } = image;
  if (!(x >= 0 && y >= 0 && x <= width - 1 && y <= height - 1)) return outside;
  const x0 = Math.floor(x);
  const y0 = Math.floor(y);
  const u = x - x0;
  const v = y - y0;
  const xa = Math.max(0, x0 - 1);
  const xc = Math.min(width - 1, x0 + 1);
  const xd = Math.min(width - 1, x0 + 2);
  const alongRow = (row: number) => cubic(data[row + xa], data[row + x0], data[row + xc], data[row + xd], u);
  return cubic(
    alongRow(Math.max(0, y0 - 1) * width),
    alongRow(y0 * width),
    alongRow(Math.min(height - 1, y0 + 1) * width),
    alongRow(Math.min(height - 1, y0 + 2) * width),
    v,
  );
}

function cubic(p: number, q: number, r: number, s: number, t: number): number {
  return q + 0.5 * t * (r - p + t * (2 * p - 5 * q + 4 * r - s + t * (3 * (q - r) + s - p)));
}

/**
 * A picture seen through a map: `out(x, y) = image(map(x, y))`, bilinear.
 *
 * @param map from output pixels to input pixels
 * @param fill value where the map leaves the input's outermost pixel centres
 */
export function warpAffine(
  image: Image,
  map: AffineLike,
  width: number,
  height: number,
  fill = Number.NaN,
  out?: Image,
): Image {
  const engine = kernelEngine();
  if (engine === null || image.width < 2 || image.height < 2) {
    return warpAffinePlain(image, map, width, height, fill, out);
  }
  assertShape(image);
  const result = outputImage(width, height, out);
  warpByKernel(engine, image, map, fill, result);
  return result;
}

/** `warpAffine` in plain 64-bit arithmetic: the check on the kernel. */
export function warpAffinePlain(
  image: Image,
  map: AffineLike,
  width: number,
  height: number,
  fill = Number.NaN,
  out?: Image,
): Image {
  assertShape(image);
  const result = outputImage(width, height, out);
  const { width: sourceWidth, height: sourceHeight, data } = image;
  const { a, b, c, d, e, f } = map;
  const lastX = sourceWidth - 1;
  const lastY = sourceHeight - 1;
  for (let y = 0; y < height; y++) {
    const rowX = b * y + c;
    const rowY = e * y + f;
    const row = y * width;
    for (let x = 0; x < width; x++) {
      const sx = a * x + rowX;
      const sy = d * x + rowY;
      if (sx >= 0 && sy >= 0 && sx < lastX && sy < lastY) {
        const x0 = sx | 0;
        const y0 = sy | 0;
        const u = sx - x0;
        const at = y0 * sourceWidth + x0;
        const below = at + sourceWidth;
        const upper = data[at] + u * (data[at + 1] - data[at]);
        const lower = data[below] + u * (data[below + 1] - data[below]);
        result.data[row + x] = upper + (sy - y0) * (lower - upper);
      } else {
        result.data[row + x] = sampleBilinear(image, sx, sy, fill);
      }
    }
  }
  return result;
}

/** As `warpAffine`, with Catmull-Rom interpolation: sharper, slower, and may overshoot at edges. */
export function warpAffineCubic(
  image: Image,
  map: AffineLike,
  width: number,
  height: number,
  fill = Number.NaN,
  out?: Image,
): Image {
  assertShape(image);
  const result = outputImage(width, height, out);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const sx = map.a * x + map.b * y + map.c;
      const sy = map.d * x + map.e * y + map.f;
      result.data[y * width + x] = sampleCubic(image, sx, sy, fill);
    }
  }
  return result;
}
