import type { Image } from "./image.ts";
import { assertSameShape, outputImage } from "./shape.ts";

/** |first - second| per pixel. */
export function absoluteDifference(first: Image, second: Image, out?: Image): Image {
  assertSameShape(first, second);
  const result = outputImage(first.width, first.height, out);
  for (let i = 0; i < first.data.length; i++) result.data[i] = Math.abs(first.data[i] - second.data[i]);
  return result;
}

/** first - second per pixel. */
export function difference(first: Image, second: Image, out?: Image): Image {
  assertSameShape(first, second);
  const result = outputImage(first.width, first.height, out);
  for (let i = 0; i < first.data.length; i++) result.data[i] = first.data[i] - second.data[i];
  return result;
}

/** Adds `weight * image` to `sum`, the one operation here that changes what it is given. */
export function accumulate(sum: Image, image: Image, weight = 1): void {
  assertSameShape(sum, image);
  for (let i = 0; i < sum.data.length; i++) sum.data[i] += weight * image.data[i];
}
