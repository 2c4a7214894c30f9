import { RangeOfArgumentError } from "./errors.ts";
import type { Image } from "./image.ts";
import { kernelEngine } from "./kernels/engine.ts";
import { gaussianByKernel } from "./kernels/gaussian-kernel.ts";
import { assertShape, outputImage } from "./shape.ts";

/**
 * One side of a sampled, normalised Gaussian: `taps[0]` is the centre, `taps[j]` the weight at +-j pixels.
 * The radius is `floor(4 sigma + 0.5)`, as scipy.ndimage.gaussian_filter takes it.
 */
export function gaussianTaps(sigmaPx: number): Float64Array {
  const radius = Math.floor(4 * sigmaPx + 0.5);
  const taps = new Float64Array(radius + 1);
  let sum = 0;
  for (let j = 0; j <= radius; j++) {
    taps[j] = Math.exp((-j * j) / (2 * sigmaPx * sigmaPx));
    sum += j === 0 ? taps[j] : 2 * taps[j];
  }
  for (let j = 0; j <= radius; j++) taps[j] /= sum;
  return taps;
}

/**
 * Gaussian smoothing, separable, cut at four sigma, the edge pixel repeated outside the picture.
 *
 * @param sigmaPx standard deviation in pixels; 0 copies
 * @param out written and returned when given; may not be `image`
 * @throws RangeOfArgumentError for a negative or non-finite sigma
 */
export function gaussianBlur(image: Image, sigmaPx: number, out?: Image): Image {
  const engine = kernelEngine();
  if (engine === null || !(sigmaPx > 0 && sigmaPx < 1e5)) return gaussianBlurPlain(image, sigmaPx, out);
  assertShape(image);
  const result = outputImage(image.width, image.height, out);
  gaussianByKernel(engine, image, gaussianTaps(sigmaPx), result);
  return result;
}

/** `gaussianBlur` in plain 64-bit arithmetic: the check on the kernel. */
export function gaussianBlurPlain(image: Image, sigmaPx: number, out?: Image): Image {
  assertShape(image);
  if (!(sigmaPx >= 0 && sigmaPx < 1e5)) throw new RangeOfArgumentError("sigmaPx", "0 or more", sigmaPx);
  const { width, height, data } = image;
  const result = outputImage(width, height, out);
  const taps = sigmaPx === 0 ? new Float64Array([1]) : gaussianTaps(sigmaPx);
  const radius = taps.length - 1;
  const columnSums = new Float64Array(width);
  const padded = new Float64Array(width + 2 * radius);
  for (let y = 0; y < height; y++) {
    const row = y * width;
    for (let x = 0; x < width; x++) columnSums[x] = taps[0] * data[row + x];
    for (let j = 1; j <= radius; j++) {
      const above = Math.max(0, y - j) * width;
      const below = Math.min(height - 1, y + j) * width;
      const tap = taps[j];
      for (let x = 0; x < width; x++) columnSums[x] += tap * (data[above + x] + data[below + x]);
    }
    padded.fill(columnSums[0], 0, radius);
    padded.set(columnSums, radius);
    padded.fill(columnSums[width - 1], radius + width);
    for (let x = 0; x < width; x++) {
      const centre = x + radius;
      let sum = taps[0] * padded[centre];
      for (let j = 1; j <= radius; j++) sum += taps[j] * (padded[centre - j] + padded[centre + j]);
      result.data[row + x] = sum;
    }
  }
  return result;
}
