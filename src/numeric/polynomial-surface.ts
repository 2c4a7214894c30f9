import { RangeOfArgumentError } from "./errors.ts";
import type { Image, Mask } from "./image.ts";
import { createImage } from "./image.ts";
import { madsPerSigma, median } from "./order.ts";
import { assertSameShape, assertShape } from "./shape.ts";
import { solveSymmetric } from "./solve.ts";

/** A polynomial of total degree `degree` over a picture, its coordinates scaled to -1..1 across the picture. */
export interface Surface {
  readonly degree: number;
  readonly width: number;
  readonly height: number;
  /** Coefficients of 1, x, y, x^2, xy, y^2, ... */
  readonly coefficients: Float64Array;
  /** Robust standard deviation of the samples about the surface, and the share of them it keeps (weight above 0). */
  readonly sigma: number;
  readonly keptShare: number;
}

function scaled(at: number, length: number): number {
  return length > 1 ? (2 * at) / (length - 1) - 1 : 0;
}

function termsAt(degree: number, x: number, y: number, into: Float64Array): void {
  let k = 0;
  for (let order = 0; order <= degree; order++) {
    for (let j = 0; j <= order; j++) into[k++] = x ** (order - j) * y ** j;
  }
}

/**
 * Robust low-order surface through the selected pixels: least squares, then Tukey's biweight, which leaves out what
 * does not belong to a smooth field. At most about `samples` pixels, on a regular grid, are used.
 *
 * @param mask pixels that may be used; null for all
 * @param degree 0 to 5
 * @throws SingularError when the selected pixels cannot fix the surface (too few, or all in line)
 */
export function fitSurface(image: Image, mask: Mask | null, degree: number, samples = 20000): Surface {
  assertShape(image);
  if (mask !== null) assertSameShape(image, mask);
  return fitSurfaceAt(image, pickPixels(image, mask, samples), degree);
}

/** Fits on which others only build need not settle to the last digit. */
const MOST_ROUNDS = 12;

/**
 * `fitSurface` through named pixels.
 *
 * @param picked indices of pixels that hold finite numbers
 * @param rounds of reweighting, at most
 */
export function fitSurfaceAt(
  { width, height, data }: Image,
  picked: Int32Array,
  degree: number,
  rounds = MOST_ROUNDS,
): Surface {
  if (!Number.isInteger(degree) || degree < 0 || degree > 5)
    throw new RangeOfArgumentError("degree", "0 to 5", degree);
  const n = picked.length;
  const count = ((degree + 1) * (degree + 2)) / 2;
  if (n < count) throw new RangeOfArgumentError("mask", `a selection of at least ${count} pixels`, n);
  const rows = new Float64Array(n * count);
  for (let i = 0; i < n; i++) {
    const x = picked[i] % width;
    const y = (picked[i] - x) / width;
    termsAt(degree, scaled(x, width), scaled(y, height), rows.subarray(i * count, (i + 1) * count));
  }
  const values = Float64Array.from(picked, (i) => data[i]);
  const weights = new Float64Array(n).fill(1);
  const distances = new Float64Array(n);
  let coefficients = new Float64Array(count);
  let sigma = 0;
  for (let round = 0; round < rounds; round++) {
    const next = weightedFit(rows, count, values, weights);
    let change = 0;
    for (let k = 0; k < count; k++) change = Math.max(change, Math.abs(next[k] - coefficients[k]));
    coefficients = next;
    for (let i = 0; i < n; i++) {
      let value = values[i];
      for (let k = 0; k < count; k++) value -= coefficients[k] * rows[i * count + k];
      distances[i] = Math.abs(value);
    }
    sigma = madsPerSigma * median(distances);
    if (sigma === 0 || (round > 0 && change < 1e-7 * sigma)) break;
    for (let i = 0; i < n; i++) {
      const z = distances[i] / (4.685 * sigma);
      weights[i] = z < 1 ? (1 - z * z) ** 2 : 0;
    }
  }
  let kept = 0;
  for (const weight of weights) if (weight > 0) kept++;
  return { degree, width, height, coefficients, sigma, keptShare: kept / n };
}

function pickPixels(image: Image, mask: Mask | null, samples: number): Int32Array {
  const { width, height, data } = image;
  let selected = width * height;
  if (mask !== null) {
    selected = 0;
    const { data: chosen } = mask;
    for (let i = 0; i < chosen.length; i++) if (chosen[i] !== 0) selected++;
  }
  const step = Math.max(1, Math.floor(Math.sqrt(selected / samples)));
  const chosen = mask?.data ?? null;
  const most = Math.min(selected, Math.ceil(width / step) * Math.ceil(height / step));
  const picked = new Int32Array(most);
  let count = 0;
  for (let y = step >> 1; y < height; y += step) {
    for (let x = step >> 1; x < width; x += step) {
      const i = y * width + x;
      if ((chosen === null || chosen[i] !== 0) && Number.isFinite(data[i])) picked[count++] = i;
    }
  }
  return picked.subarray(0, count);
}

function weightedFit(
  rows: Float64Array,
  count: number,
  values: Float64Array,
  weights: Float64Array,
): Float64Array<ArrayBuffer> {
  const normal = new Float64Array(count * count);
  const right = new Float64Array(count);
  for (let i = 0; i < values.length; i++) {
    const weight = weights[i];
    if (weight === 0) continue;
    const value = values[i];
    const base = i * count;
    for (let p = 0; p < count; p++) {
      const scaledTerm = weight * rows[base + p];
      right[p] += scaledTerm * value;
      for (let q = 0; q <= p; q++) normal[p * count + q] += scaledTerm * rows[base + q];
    }
  }
  return Float64Array.from(solveSymmetric(normal, right));
}

/** Value of the surface at a pixel coordinate. */
export function evaluateSurface(surface: Surface, x: number, y: number): number {
  const terms = new Float64Array(surface.coefficients.length);
  termsAt(surface.degree, scaled(x, surface.width), scaled(y, surface.height), terms);
  let value = 0;
  for (let k = 0; k < terms.length; k++) value += surface.coefficients[k] * terms[k];
  return value;
}

/** The surface as a picture of the size it was fitted to. */
export function renderSurface(surface: Surface): Image {
  const { width, height, degree, coefficients } = surface;
  const image = createImage(width, height);
  const alongRow = new Float64Array(degree + 1);
  for (let y = 0; y < height; y++) {
    const v = scaled(y, height);
    alongRow.fill(0);
    let k = 0;
    for (let order = 0; order <= degree; order++) {
      for (let j = 0; j <= order; j++) alongRow[order - j] += coefficients[k++] * v ** j;
    }
    for (let x = 0; x < width; x++) {
      const u = scaled(x, width);
      let value = 0;
      for (let power = degree; power >= 0; power--) value = value * u + alongRow[power];
      image.data[y * width + x] = value;
    }
  }
  return image;
}
