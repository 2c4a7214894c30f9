import { RangeOfArgumentError } from "./errors.ts";
import type { Image } from "./image.ts";
import { createImage } from "./image.ts";
import { kernelEngine } from "./kernels/engine.ts";
import { fourierByKernel } from "./kernels/fourier-kernel.ts";
import { assertShape } from "./shape.ts";

/** A complex picture of the same layout as `Image`; frequency (0, 0) first. */
export interface Spectrum {
  readonly width: number;
  readonly height: number;
  readonly re: Float32Array;
  readonly im: Float32Array;
}

interface Plan {
  readonly n: number;
  readonly reversed: Int32Array;
  readonly cos: Float64Array;
  readonly sin: Float64Array;
  readonly re: Float64Array;
  readonly im: Float64Array;
}

function assertPowerOfTwo(n: number): void {
  if (n < 1 || (n & (n - 1)) !== 0) throw new RangeOfArgumentError("side", "a power of two", n);
}

function planOf(n: number): Plan {
  assertPowerOfTwo(n);
  const bits = Math.round(Math.log2(n));
  const reversed = new Int32Array(n);
  for (let i = 1; i < n; i++) reversed[i] = (reversed[i >> 1] >> 1) | ((i & 1) << (bits - 1));
  const half = n >> 1;
  const cos = new Float64Array(half);
  const sin = new Float64Array(half);
  for (let i = 0; i < half; i++) {
    cos[i] = Math.cos((2 * Math.PI * i) / n);
    sin[i] = Math.sin((2 * Math.PI * i) / n);
  }
  return { n, reversed, cos, sin, re: new Float64Array(n), im: new Float64Array(n) };
}

/** Radix-2 transform of the plan's line, whose values stand in bit-reversed order. `sign` -1 is forward. */
function transformLine({ n, cos, sin, re, im }: Plan, sign: 1 | -1): void {
  for (let size = 2; size <= n; size *= 2) {
    const half = size >> 1;
    const step = n / size;
    for (let start = 0; start < n; start += size) {
      for (let j = 0, k = 0; j < half; j++, k += step) {
        const p = start + j;
        const q = p + half;
        const wr = cos[k];
        const wi = sign * sin[k];
        const tr = re[q] * wr - im[q] * wi;
        const ti = re[q] * wi + im[q] * wr;
        re[q] = re[p] - tr;
        im[q] = im[p] - ti;
        re[p] += tr;
        im[p] += ti;
      }
    }
  }
}

function transformLines(
  plan: Plan,
  re: Float32Array,
  im: Float32Array,
  lines: number,
  lineStep: number,
  step: number,
  sign: 1 | -1,
  scale: number,
): void {
  const { n, reversed } = plan;
  for (let line = 0; line < lines; line++) {
    const base = line * lineStep;
    for (let i = 0; i < n; i++) {
      const from = base + reversed[i] * step;
      plan.re[i] = re[from];
      plan.im[i] = im[from];
    }
    transformLine(plan, sign);
    for (let i = 0; i < n; i++) {
      re[base + i * step] = plan.re[i] * scale;
      im[base + i * step] = plan.im[i] * scale;
    }
  }
}

/**
 * Two-dimensional discrete Fourier transform of a complex picture; sides are powers of two. Data are 32-bit. The inverse divides by the number of pixels, so it undoes the forward transform.
 *
 * @throws RangeOfArgumentError for a side that is not a power of two
 */
export function fft2(input: Spectrum, direction: "forward" | "inverse" = "forward"): Spectrum {
  const { width, height } = input;
  const engine = Math.min(width, height) >= 8 ? kernelEngine() : null;
  if (engine === null) return fft2Plain(input, direction);
  assertPowerOfTwo(width);
  assertPowerOfTwo(height);
  const re = input.re.slice();
  const im = input.im.slice();
  fourierByKernel(engine, re, im, width, height, direction === "forward" ? -1 : 1);
  return { width, height, re, im };
}

/** `fft2` with lines in plain 64-bit arithmetic: the check on the kernel. */
export function fft2Plain(input: Spectrum, direction: "forward" | "inverse" = "forward"): Spectrum {
  const { width, height } = input;
  const re = input.re.slice();
  const im = input.im.slice();
  const sign = direction === "forward" ? -1 : 1;
  const rows = planOf(width);
  const columns = height === width ? rows : planOf(height);
  transformLines(rows, re, im, height, width, 1, sign, direction === "forward" ? 1 : 1 / width);
  transformLines(columns, re, im, width, 1, width, sign, direction === "forward" ? 1 : 1 / height);
  return { width, height, re, im };
}

/** Transform of a real picture. */
export function fft2Real(image: Image): Spectrum {
  assertShape(image);
  const { width, height, data } = image;
  return fft2({ width, height, re: data, im: new Float32Array(data.length) });
}

/**
 * Copies a picture into the middle of a power-of-two frame: its mean removed, tapered to zero at its own border by a
 * raised cosine over `taper` of each side, zeros round it. What is left at a border would otherwise correlate with itself.
 */
export function tapered(image: Image, width: number, height: number, taper = 0.15): Image {
  assertShape(image);
  if (width < image.width || height < image.height) {
    throw new RangeOfArgumentError(
      "frame",
      `at least ${image.width} x ${image.height}`,
      `${width} x ${height}`,
    );
  }
  let sum = 0;
  for (const value of image.data) sum += value;
  const mean = sum / image.data.length;
  const result = createImage(width, height);
  const left = (width - image.width) >> 1;
  const top = (height - image.height) >> 1;
  const across = taperOf(image.width, taper);
  const down = taperOf(image.height, taper);
  for (let y = 0; y < image.height; y++) {
    for (let x = 0; x < image.width; x++) {
      result.data[(top + y) * width + left + x] =
        (image.data[y * image.width + x] - mean) * across[x] * down[y];
    }
  }
  return result;
}

function taperOf(length: number, share: number): Float64Array {
  const weights = new Float64Array(length).fill(1);
  const edge = Math.floor(length * share);
  for (let i = 0; i < edge; i++) {
    const weight = 0.5 - 0.5 * Math.cos((Math.PI * (i + 0.5)) / edge);
    weights[i] = weight;
    weights[length - 1 - i] = weight;
  }
  return weights;
}
