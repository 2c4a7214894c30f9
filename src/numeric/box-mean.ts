import { RangeOfArgumentError } from "./errors.ts";
import type { Image } from "./image.ts";
import { boxByKernel } from "./kernels/box-kernel.ts";
import { kernelEngine } from "./kernels/engine.ts";
import { assertShape, outputImage } from "./shape.ts";

function assertRadius(radiusPx: number): void {
  if (!Number.isInteger(radiusPx) || radiusPx < 0) {
    throw new RangeOfArgumentError("radiusPx", "a whole number, 0 or more", radiusPx);
  }
}

/** Adds `sign` times row `y` (clamped into the picture) and its squares about `offset` to the column sums. */
function addRow(
  image: Image,
  y: number,
  sign: number,
  offset: number,
  sums: Float64Array,
  squares: Float64Array | null,
) {
  const { width, height, data } = image;
  const row = Math.min(height - 1, Math.max(0, y)) * width;
  for (let x = 0; x < width; x++) {
    const value = data[row + x] - offset;
    sums[x] += sign * value;
    if (squares !== null) squares[x] += sign * value * value;
  }
}

/** Running sum of `2 radius + 1` neighbours along a line, ends repeated. */
function runningSum(line: Float64Array, radius: number, into: Float64Array): void {
  const last = line.length - 1;
  let sum = 0;
  for (let j = -radius; j <= radius; j++) sum += line[Math.min(last, Math.max(0, j))];
  for (let x = 0; x <= last; x++) {
    into[x] = sum;
    sum += line[Math.min(last, x + radius + 1)] - line[Math.max(0, x - radius)];
  }
}

function sweep(
  image: Image,
  radius: number,
  withSquares: boolean,
  emit: (y: number, sums: Float64Array, squares: Float64Array) => void,
  offset: number,
) {
  const { width, height } = image;
  const columns = new Float64Array(width);
  const columnSquares = withSquares ? new Float64Array(width) : null;
  const sums = new Float64Array(width);
  const squares = new Float64Array(width);
  for (let j = -radius; j <= radius; j++) addRow(image, j, 1, offset, columns, columnSquares);
  for (let y = 0; y < height; y++) {
    runningSum(columns, radius, sums);
    if (columnSquares !== null) runningSum(columnSquares, radius, squares);
    emit(y, sums, squares);
    addRow(image, y + radius + 1, 1, offset, columns, columnSquares);
    addRow(image, y - radius, -1, offset, columns, columnSquares);
  }
}

/**
 * Mean of the `(2 radius + 1)` square about each pixel, the edge pixel repeated outside; cost independent of the radius.
 *
 * @throws RangeOfArgumentError unless the radius is a whole number of pixels
 */
export function boxMean(image: Image, radiusPx: number, out?: Image): Image {
  const engine = kernelEngine();
  if (engine === null) return boxMeanPlain(image, radiusPx, out);
  assertShape(image);
  assertRadius(radiusPx);
  const result = outputImage(image.width, image.height, out);
  boxByKernel(engine, image, radiusPx, 0, result, null);
  return result;
}

/** `boxMean` in plain arithmetic: the check on the kernel. */
export function boxMeanPlain(image: Image, radiusPx: number, out?: Image): Image {
  assertShape(image);
  assertRadius(radiusPx);
  const { width, height } = image;
  const result = outputImage(width, height, out);
  const share = 1 / (2 * radiusPx + 1) ** 2;
  sweep(
    image,
    radiusPx,
    false,
    (y, sums) => {
      const row = y * width;
      for (let x = 0; x < width; x++) result.data[row + x] = sums[x] * share;
    },
    0,
  );
  return result;
}

/**
 * Mean and population variance of the square about each pixel. Values are taken about the picture's first value,
 * which keeps the difference of squares from losing figures on an offset picture; variance is never below 0.
 */
export function boxMeanVariance(
  image: Image,
  radiusPx: number,
): { readonly mean: Image; readonly variance: Image } {
  const engine = kernelEngine();
  if (engine === null) return boxMeanVariancePlain(image, radiusPx);
  assertShape(image);
  assertRadius(radiusPx);
  const mean = outputImage(image.width, image.height, undefined);
  const variance = outputImage(image.width, image.height, undefined);
  boxByKernel(engine, image, radiusPx, image.data[0], mean, variance);
  return { mean, variance };
}

/** `boxMeanVariance` in plain arithmetic: the check on the kernel. */
export function boxMeanVariancePlain(
  image: Image,
  radiusPx: number,
): { readonly mean: Image; readonly variance: Image } {
  assertShape(image);
  assertRadius(radiusPx);
  const { width, height } = image;
  const mean = outputImage(width, height, undefined);
  const variance = outputImage(width, height, undefined);
  const share = 1 / (2 * radiusPx + 1) ** 2;
  const offset = image.data[0];
  sweep(
    image,
    radiusPx,
    true,
    (y, sums, squares) => {
      const row = y * width;
      for (let x = 0; x < width; x++) {
        const m = sums[x] * share;
        mean.data[row + x] = m + offset;
        variance.data[row + x] = Math.max(0, squares[x] * share - m * m);
      }
    },
    offset,
  );
  return { mean, variance };
}
