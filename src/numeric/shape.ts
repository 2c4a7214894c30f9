import { ShapeError } from "./errors.ts";
import type { Image, Mask } from "./image.ts";
import { createImage } from "./image.ts";

/** @throws ShapeError unless `data` is `width * height` long and both are positive integers */
export function assertShape(image: Image | Mask): void {
  const { width, height, data } = image;
  if (
    !Number.isInteger(width) ||
    !Number.isInteger(height) ||
    width < 1 ||
    height < 1 ||
    data.length !== width * height
  ) {
    throw new ShapeError(`${width} x ${height} pixels`, `${data.length} values`);
  }
}

/** @throws ShapeError unless both have the same width and height */
export function assertSameShape(first: Image | Mask, second: Image | Mask): void {
  assertShape(first);
  assertShape(second);
  if (first.width !== second.width || first.height !== second.height) {
    throw new ShapeError(
      `two pictures of ${first.width} x ${first.height}`,
      `one of ${second.width} x ${second.height}`,
    );
  }
}

/** `out` when given and of the right size, else a new image. @throws ShapeError when `out` has another size */
export function outputImage(width: number, height: number, out: Image | undefined): Image {
  if (out === undefined) return createImage(width, height);
  if (out.width !== width || out.height !== height || out.data.length !== width * height) {
    throw new ShapeError(`an output of ${width} x ${height}`, `${out.width} x ${out.height}`);
  }
  return out;
}
