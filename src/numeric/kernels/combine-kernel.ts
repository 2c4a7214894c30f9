import type { KernelEngine } from "./engine.ts";

/** Values worked on at a time. */
const BLOCK = 32768;

/** `into = first - second`, or its size, by the SIMD kernel in 32-bit: the same numbers as the plain version. */
export function differenceByKernel(
  engine: KernelEngine,
  first: Float32Array,
  second: Float32Array,
  into: Float32Array,
  absolute: boolean,
): void {
  const [firstAt, secondAt] = engine.layout(4 * BLOCK, 4 * BLOCK);
  const p = engine.floats(firstAt, BLOCK);
  const q = engine.floats(secondAt, BLOCK);
  for (let from = 0; from < into.length; from += BLOCK) {
    const to = Math.min(into.length, from + BLOCK);
    p.set(first.subarray(from, to));
    q.set(second.subarray(from, to));
    engine.run.differenceLine(firstAt, secondAt, firstAt, to - from, absolute ? 1 : 0);
    into.set(p.subarray(0, to - from), from);
  }
}

/** `sum += weight * values` by the SIMD kernel in 32-bit. */
export function accumulateByKernel(
  engine: KernelEngine,
  sum: Float32Array,
  values: Float32Array,
  weight: number,
): void {
  const [sumAt, valuesAt] = engine.layout(4 * BLOCK, 4 * BLOCK);
  const p = engine.floats(sumAt, BLOCK);
  const q = engine.floats(valuesAt, BLOCK);
  for (let from = 0; from < sum.length; from += BLOCK) {
    const to = Math.min(sum.length, from + BLOCK);
    p.set(sum.subarray(from, to));
    q.set(values.subarray(from, to));
    engine.run.accumulateLine(sumAt, valuesAt, to - from, weight);
    sum.set(p.subarray(0, to - from), from);
  }
}
