const LN2_HIGH = 0.6931471803691238; // upper bits only: exact times any exponent
const LN2_LOW = 1.9082149292705877e-10; // ln 2 - LN2_HIGH
const SQRT2 = Math.SQRT2;
const scratch = new DataView(new ArrayBuffer(8));

/**
 * Natural logarithm by plain arithmetic in fixed order, so that every machine gives the same bits
 * (`Math.log` is left to the engine by the language standard).
 *
 * x = m 2^e with m in [1/sqrt 2, sqrt 2); ln m = 2 atanh((m-1)/(m+1)) as a series, whose first
 * omitted term is below 1e-18.
 *
 * @param x any number; 0 gives -Infinity, negative or NaN gives NaN
 */
export function naturalLog(x: number): number {
  if (!(x > 0)) return x === 0 ? Number.NEGATIVE_INFINITY : Number.NaN;
  if (x === Number.POSITIVE_INFINITY) return x;
  let exponent = 0;
  let value = x;
  if (value < 2.2250738585072014e-308) {
    value *= 18014398509481984; // 2^54: lifts subnormals
    exponent = -54;
  }
  scratch.setFloat64(0, value);
  const high = scratch.getUint32(0);
  exponent += (high >>> 20) - 1023;
  scratch.setUint32(0, (high & 0x000fffff) | 0x3ff00000);
  let m = scratch.getFloat64(0);
  if (m >= SQRT2) {
    m *= 0.5;
    exponent += 1;
  }
  const s = (m - 1) / (m + 1);
  const z = s * s;
  let series = 1 / 23;
  for (let odd = 21; odd >= 1; odd -= 2) series = series * z + 1 / odd;
  return exponent * LN2_HIGH + (exponent * LN2_LOW + 2 * s * series);
}

/**
 * ln of the integers `0..size-1`, Float32; entry 0 is -Infinity.
 * Grown on demand and shared, since it never changes.
 */
export function logTable(size: number): Float32Array {
  if (shared.length >= size) return shared;
  const grown = new Float32Array(size);
  grown.set(shared);
  for (let i = shared.length; i < size; i++) grown[i] = naturalLog(i);
  shared = grown;
  return grown;
}
let shared = new Float32Array(0);
