import { discHalfWidths } from "./disc.ts";
import { RangeOfArgumentError } from "./errors.ts";
import type { Image } from "./image.ts";
import { createImage } from "./image.ts";
import { kernelEngine } from "./kernels/engine.ts";
import { extremeByKernel, openByKernel } from "./kernels/extreme-kernel.ts";
import { assertShape, outputImage } from "./shape.ts";

/** Shape of a flat structuring element of radius r: the disc dx^2 + dy^2 <= r^2, or the (2 r + 1) square. */
export type Element = "disc" | "square";

/** Half width of the element in each row dy = 0..r. */
function halfWidths(radiusPx: number, element: Element): Int32Array {
  return element === "disc" ? discHalfWidths(radiusPx) : new Int32Array(radiusPx + 1).fill(radiusPx);
}

/**
 * Maximum over the `2 half + 1` neighbours along a line, pixels outside ignored: prefix and suffix maxima of blocks
 * (van Herk 1992, Gil and Werman 1993; from memory), three comparisons a pixel whatever the width.
 */
function lineMaximum(
  line: Float32Array,
  start: number,
  length: number,
  half: number,
  forward: Float32Array,
  backward: Float32Array,
  into: Float32Array,
  intoStart: number,
): void {
  const block = 2 * half + 1;
  const padded = Math.ceil((length + 2 * half) / block) * block;
  for (let i = 0; i < padded; i++) {
    const x = i - half;
    const value = x >= 0 && x < length ? line[start + x] : Number.NEGATIVE_INFINITY;
    backward[i] = value;
    forward[i] = i % block === 0 || value > forward[i - 1] ? value : forward[i - 1];
  }
  for (let i = padded - 2; i >= 0; i--) {
    if (i % block !== block - 1 && backward[i + 1] > backward[i]) backward[i] = backward[i + 1];
  }
  for (let x = 0; x < length; x++) {
    const first = backward[x];
    const second = forward[x + 2 * half];
    into[intoStart + x] = Math.max(first, second);
  }
}

function assertElement(image: Image, radiusPx: number): void {
  assertShape(image);
  if (!Number.isInteger(radiusPx) || radiusPx < 0) {
    throw new RangeOfArgumentError("radiusPx", "a whole number, 0 or more", radiusPx);
  }
}

function extremeUnder(
  image: Image,
  radiusPx: number,
  element: Element,
  lowest: boolean,
  out: Image | undefined,
): Image {
  assertElement(image, radiusPx);
  const result = outputImage(image.width, image.height, out);
  const engine = kernelEngine();
  if (engine !== null) extremeByKernel(engine, image, halfWidths(radiusPx, element), lowest, result);
  else if (lowest) negateInto(dilateGreyPlain(negated(image), radiusPx, element), result);
  else dilateGreyPlain(image, radiusPx, element, result);
  return result;
}

/** Grey dilation: the largest value under the element, pixels outside the picture ignored. */
export function dilateGrey(image: Image, radiusPx: number, element: Element = "disc", out?: Image): Image {
  return extremeUnder(image, radiusPx, element, false, out);
}

/** Grey erosion: the smallest value under the element, pixels outside the picture ignored. */
export function erodeGrey(image: Image, radiusPx: number, element: Element = "disc", out?: Image): Image {
  return extremeUnder(image, radiusPx, element, true, out);
}

/** `dilateGrey` in plain arithmetic: the check on the kernel. */
export function dilateGreyPlain(
  image: Image,
  radiusPx: number,
  element: Element = "disc",
  out?: Image,
): Image {
  const { width, height, data } = image;
  const result = outputImage(width, height, out);
  const widths = halfWidths(radiusPx, element);
  const scratch = 3 * (width + 4 * radiusPx + 2);
  const forward = new Float32Array(scratch);
  const backward = new Float32Array(scratch);
  result.data.fill(Number.NEGATIVE_INFINITY);
  const filtered = new Float32Array(width);
  for (let y = 0; y < height; y++) {
    let previous = -1;
    for (let dy = radiusPx; dy >= 0; dy--) {
      if (widths[dy] !== previous) {
        lineMaximum(data, y * width, width, widths[dy], forward, backward, filtered, 0);
        previous = widths[dy];
      }
      raiseRow(result, y - dy, filtered);
      if (dy > 0) raiseRow(result, y + dy, filtered);
    }
  }
  return result;
}

function raiseRow(result: Image, y: number, row: Float32Array): void {
  if (y < 0 || y >= result.height) return;
  const base = y * result.width;
  for (let x = 0; x < row.length; x++) if (row[x] > result.data[base + x]) result.data[base + x] = row[x];
}

function negateInto(image: Image, result: Image): Image {
  for (let i = 0; i < image.data.length; i++) result.data[i] = -image.data[i];
  return result;
}

function negated(image: Image): Image {
  return negateInto(image, createImage(image.width, image.height));
}

function openOrClose(
  image: Image,
  radiusPx: number,
  element: Element,
  opening: boolean,
  out: Image | undefined,
): Image {
  const engine = kernelEngine();
  if (engine === null) {
    const inner = extremeUnder(image, radiusPx, element, opening, undefined);
    return extremeUnder(inner, radiusPx, element, !opening, out);
  }
  assertElement(image, radiusPx);
  const result = outputImage(image.width, image.height, out);
  openByKernel(engine, image, halfWidths(radiusPx, element), opening, result);
  return result;
}

/** Grey opening: bright detail narrower than the element is levelled down. */
export function openGrey(image: Image, radiusPx: number, element: Element = "disc", out?: Image): Image {
  return openOrClose(image, radiusPx, element, true, out);
}

/** Grey closing: dark detail narrower than the element is levelled up. */
export function closeGrey(image: Image, radiusPx: number, element: Element = "disc", out?: Image): Image {
  return openOrClose(image, radiusPx, element, false, out);
}
