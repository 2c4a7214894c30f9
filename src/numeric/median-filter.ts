import { RangeOfArgumentError } from "./errors.ts";
import type { Image } from "./image.ts";
import { kernelEngine } from "./kernels/engine.ts";
import { medianByKernel } from "./kernels/median-kernel.ts";
import { assertShape, outputImage } from "./shape.ts";

/**
 * Median of the 3 x 3 or 5 x 5 square about each pixel, the edge pixel repeated outside.
 *
 * @param sizePx side of the square: 3 or 5
 * @throws RangeOfArgumentError for another size
 */
export function medianFilter(image: Image, sizePx: 3 | 5, out?: Image): Image {
  assertShape(image);
  if (sizePx !== 3 && sizePx !== 5) throw new RangeOfArgumentError("sizePx", "3 or 5", sizePx);
  const result = outputImage(image.width, image.height, out);
  const engine = sizePx === 3 ? kernelEngine() : null;
  if (engine === null) return medianFilterPlain(image, sizePx, result);
  medianByKernel(engine, image, result);
  return result;
}

/** `medianFilter` in plain arithmetic: the check on the kernel. */
export function medianFilterPlain(image: Image, sizePx: 3 | 5, out?: Image): Image {
  const { width, height, data } = image;
  const result = outputImage(width, height, out);
  const radius = (sizePx - 1) / 2;
  const count = sizePx * sizePx;
  const window = new Float32Array(count);
  const rows = new Int32Array(sizePx);
  for (let y = 0; y < height; y++) {
    for (let j = 0; j < sizePx; j++) rows[j] = Math.min(height - 1, Math.max(0, y + j - radius)) * width;
    for (let x = 0; x < width; x++) {
      let filled = 0;
      for (let i = x - radius; i <= x + radius; i++) {
        const column = i < 0 ? 0 : i >= width ? width - 1 : i;
        for (let j = 0; j < sizePx; j++) insertSorted(window, filled++, data[rows[j] + column]);
      }
      result.data[y * width + x] = window[count >> 1];
    }
  }
  return result;
}

function insertSorted(window: Float32Array, filled: number, value: number): void {
  let at = filled;
  while (at > 0 && window[at - 1] > value) {
    window[at] = window[at - 1];
    at--;
  }
  window[at] = value;
}
