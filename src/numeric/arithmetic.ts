import type { Image } from "./image.ts";
import { accumulateByKernel, differenceByKernel } from "./kernels/combine-kernel.ts";
import { kernelEngine } from "./kernels/engine.ts";
import { assertSameShape, outputImage } from "./shape.ts";

/** |first - second| per pixel. */
export function absoluteDifference(first: Image, second: Image, out?: Image): Image {
  return subtract(first, second, true, out);
}

/** first - second per pixel. */
export function difference(first: Image, second: Image, out?: Image): Image {
  return subtract(first, second, false, out);
}

function subtract(first: Image, second: Image, absolute: boolean, out: Image | undefined): Image {
  assertSameShape(first, second);
  const result = outputImage(first.width, first.height, out);
  const engine = kernelEngine();
  if (engine === null) subtractPlain(first.data, second.data, result.data, absolute);
  else differenceByKernel(engine, first.data, second.data, result.data, absolute);
  return result;
}

/** Difference, or its size, in plain arithmetic: the check on the kernel. */
export function subtractPlain(
  first: Float32Array,
  second: Float32Array,
  into: Float32Array,
  absolute: boolean,
): void {
  for (let i = 0; i < into.length; i++) {
    const value = first[i] - second[i];
    into[i] = absolute ? Math.abs(value) : value;
  }
}

/** Adds `weight * image` to `sum`, the one operation here that changes what it is given. */
export function accumulate(sum: Image, image: Image, weight = 1): void {
  assertSameShape(sum, image);
  const engine = kernelEngine();
  if (engine === null) accumulatePlain(sum.data, image.data, weight);
  else accumulateByKernel(engine, sum.data, image.data, weight);
}

/** `accumulate` in plain arithmetic: the check on the kernel. */
export function accumulatePlain(sum: Float32Array, values: Float32Array, weight: number): void {
  for (let i = 0; i < sum.length; i++) sum[i] += weight * values[i];
}
