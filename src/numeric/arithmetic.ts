import type { Image } from "./image.ts";
import { assertSameShape, outputImage } from "./shape.ts";

/** |first - second| per pixel. */
export function absoluteDifference(first: Image, second: Image, out?: Image): Image {
  assertSameShape(first, second);
  const result = outputImage(first.width, first.height, out);
  const p = first.data;
  const q = second.data;
  const into = result.data;
  for (let i = 0; i < into.length; i++) into[i] = Math.abs(p[i] - q[i]);
  return result;
}

/** first - second per pixel. */
export function difference(first: Image, second: Image, out?: Image): Image {
  assertSameShape(first, second);
  const result = outputImage(first.width, first.height, out);
  const p = first.data;
  const q = second.data;
  const into = result.data;
  for (let i = 0; i < into.length; i++) into[i] = p[i] - q[i];
  return result;
}

/** Adds `weight * image` to `sum`, the one operation here that changes what it is given. */
export function accumulate(sum: Image, image: Image, weight = 1): void {
  assertSameShape(sum, image);
  const into = sum.data;
  const from = image.data;
  for (let i = 0; i < into.length; i++) into[i] += weight * from[i];
}
