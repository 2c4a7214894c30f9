import { RangeOfArgumentError } from "./errors.ts";
import type { Image } from "./image.ts";
import { kernelEngine } from "./kernels/engine.ts";
import { stackQuantileByKernel } from "./kernels/stack-kernel.ts";
import { quantile } from "./order.ts";
import { assertSameShape, outputImage } from "./shape.ts";

/** Most pictures the kernel sorts at once; more are done plainly. */
const MOST_SORTED = 256;

/**
 * Quantile across pictures, pixel by pixel: `out(x, y)` is the quantile of all `images(x, y)`, with linear
 * interpolation as in `quantile`. At 0.5 a median picture: what the greater part shows, whatever a few show.
 *
 * @param images one or more of equal size; finite values
 * @throws ShapeError for unequal sizes, RangeOfArgumentError for none or q outside 0..1
 */
export function stackQuantile(images: readonly Image[], q: number, out?: Image): Image {
  const engine = images.length <= MOST_SORTED ? kernelEngine() : null;
  const result = checkedOutput(images, q, out);
  if (engine === null) fillPlain(images, q, result);
  else stackQuantileByKernel(engine, images, q, result);
  return result;
}

/** `stackQuantile` by selecting among the values of each pixel: the check on the kernel. */
export function stackQuantilePlain(images: readonly Image[], q: number, out?: Image): Image {
  const result = checkedOutput(images, q, out);
  fillPlain(images, q, result);
  return result;
}

function checkedOutput(images: readonly Image[], q: number, out: Image | undefined): Image {
  if (images.length === 0) throw new RangeOfArgumentError("images", "at least one picture", "none");
  if (!(q >= 0 && q <= 1)) throw new RangeOfArgumentError("q", "between 0 and 1", q);
  for (const image of images) assertSameShape(images[0], image);
  return outputImage(images[0].width, images[0].height, out);
}

function fillPlain(images: readonly Image[], q: number, result: Image): void {
  const values = new Float32Array(images.length);
  for (let i = 0; i < result.data.length; i++) {
    for (let k = 0; k < images.length; k++) values[k] = images[k].data[i];
    result.data[i] = quantile(values, q);
  }
}
