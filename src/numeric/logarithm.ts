import { ShapeError } from "./errors.ts";
import { kernelEngine } from "./kernels/engine.ts";
import type { SampleArray } from "./kernels/log-ratio-kernel.ts";
import { logRatioByKernel } from "./kernels/log-ratio-kernel.ts";

const BITS = new DataView(new ArrayBuffer(8));

/**
 * Natural logarithm from arithmetic alone, so the same on every machine: x = 2^e m with m in sqrt(1/2)..sqrt(2), then
 * the series of 2 artanh((m - 1) / (m + 1)). Within 2e-16 of the true value or of its size.
 *
 * @param x a normal number; 0 gives -Infinity, a negative number or NaN gives NaN
 */
export function naturalLog(x: number): number {
  if (!(x > 0) || x === Number.POSITIVE_INFINITY)
    return x === 0 ? Number.NEGATIVE_INFINITY : x < 0 ? Number.NaN : x;
  BITS.setFloat64(0, x);
  const high = BITS.getUint32(0);
  let exponent = (high >>> 20) - 1023;
  BITS.setUint32(0, (high & 0xfffff) | 0x3ff00000);
  let m = BITS.getFloat64(0);
  if (m > Math.SQRT2) {
    m /= 2;
    exponent++;
  }
  const s = (m - 1) / (m + 1);
  const z = s * s;
  let series = 0;
  for (let k = 21; k >= 3; k -= 2) series = (series + 2 / k) * z;
  // ln 2 in two parts, the first exact when multiplied by an exponent.
  return exponent * 0.6931471803691238 + (2 * s + (s * series + exponent * 1.9082149292705877e-10));
}

function checked(samples: SampleArray, other: SampleArray | number, name: string): void {
  if (typeof other !== "number" && other.length !== samples.length) {
    throw new ShapeError(`${name} of ${samples.length} values`, `${other.length}`);
  }
}

/**
 * `ln(reference / max(samples - dark, floor))` value by value: how many e-folds the signal lies below the reference.
 *
 * @param samples, dark, reference of equal length; `dark` and `reference` may be one number for all
 * @param floor least signal assumed, above 0; smaller ones, and NaN, count as this
 * @param out written and returned when given
 * @throws ShapeError when lengths disagree
 */
export function logRatio(
  samples: SampleArray,
  dark: SampleArray | number,
  reference: SampleArray | number,
  floor: number,
  out: Float32Array = new Float32Array(samples.length),
): Float32Array {
  checked(samples, dark, "dark");
  checked(samples, reference, "reference");
  checked(samples, out, "out");
  const engine = kernelEngine();
  if (engine === null) return logRatioPlain(samples, dark, reference, floor, out);
  logRatioByKernel(engine, samples, dark, reference, floor, out);
  return out;
}

/** `logRatio` in plain arithmetic: the check on the kernel. */
export function logRatioPlain(
  samples: SampleArray,
  dark: SampleArray | number,
  reference: SampleArray | number,
  floor: number,
  out: Float32Array = new Float32Array(samples.length),
): Float32Array {
  for (let i = 0; i < samples.length; i++) {
    let signal = samples[i] - (typeof dark === "number" ? dark : dark[i]);
    if (!(signal > floor)) signal = floor;
    out[i] = naturalLog((typeof reference === "number" ? reference : reference[i]) / signal);
  }
  return out;
}
