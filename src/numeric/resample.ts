import { RangeOfArgumentError } from "./errors.ts";
import type { Image } from "./image.ts";
import { kernelEngine } from "./kernels/engine.ts";
import { reduceByKernel } from "./kernels/reduce-kernel.ts";
import { assertShape, outputImage } from "./shape.ts";

/**
 * Area mean over `factor x factor` cells. The result is `ceil(width / factor) x ceil(height / factor)`;
 * cells cut by the right or lower edge average the pixels they have.
 *
 * Cell centre: output (x, y) lies at input `factor * x + (factor - 1) / 2`, likewise for y.
 * @throws RangeOfArgumentError unless `factor` is a whole number of 1 or more
 */
export function reduceBy(image: Image, factor: number, out?: Image): Image {
  assertShape(image);
  if (!Number.isInteger(factor) || factor < 1) {
    throw new RangeOfArgumentError("factor", "a whole number, 1 or more", factor);
  }
  const result = outputImage(Math.ceil(image.width / factor), Math.ceil(image.height / factor), out);
  const engine = kernelEngine();
  if (engine === null) return reduceByPlain(image, factor, result);
  reduceByKernel(engine, image, factor, result);
  return result;
}

/** `reduceBy` in plain 64-bit arithmetic: the check on the kernel. */
export function reduceByPlain(image: Image, factor: number, out?: Image): Image {
  const { width, height, data } = image;
  const outWidth = Math.ceil(width / factor);
  const outHeight = Math.ceil(height / factor);
  const result = outputImage(outWidth, outHeight, out);
  const columns = new Float64Array(width);
  for (let oy = 0; oy < outHeight; oy++) {
    const y0 = oy * factor;
    const y1 = Math.min(height, y0 + factor);
    columns.fill(0);
    for (let y = y0; y < y1; y++) {
      const row = y * width;
      for (let x = 0; x < width; x++) columns[x] += data[row + x];
    }
    for (let ox = 0; ox < outWidth; ox++) {
      const x0 = ox * factor;
      const x1 = Math.min(width, x0 + factor);
      let sum = 0;
      for (let x = x0; x < x1; x++) sum += columns[x];
      result.data[oy * outWidth + ox] = sum / ((y1 - y0) * (x1 - x0));
    }
  }
  return result;
}

/** Half size by area mean: `reduceBy(image, 2)`. */
export function reduceByTwo(image: Image, out?: Image): Image {
  return reduceBy(image, 2, out);
}
