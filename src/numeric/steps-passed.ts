import { RangeOfArgumentError } from "./errors.ts";

const BINS = 2048;

/**
 * How many of the rising `levels` each value lies above: 0 for one at or below all of them, and for no number.
 *
 * @param levels at most 255, rising
 */
export function stepsPassed(values: Float32Array, levels: readonly number[]): Uint8Array {
  if (levels.length > 255) throw new RangeOfArgumentError("levels", "at most 255", levels.length);
  const passed = new Uint8Array(values.length);
  if (levels.length === 0) return passed;
  const rising = Float64Array.from(levels);
  const low = rising[0];
  const perLevel = BINS / Math.max(rising[rising.length - 1] - low, Number.MIN_VALUE);
  // The levels passed for certain by a value in each bin; the few that may lie inside it are compared one by one.
  const certain = new Uint8Array(BINS + 2);
  for (const level of rising.subarray(1)) {
    for (let bin = Math.floor((level - low) * perLevel) + 2; bin < BINS + 2; bin++) certain[bin]++;
  }
  for (let i = 0; i < values.length; i++) {
    const value = values[i];
    if (!(value > low)) continue;
    const bin = (value - low) * perLevel;
    let k = 1 + certain[bin < BINS + 1 ? bin | 0 : BINS + 1];
    while (k < rising.length && value > rising[k]) k++;
    passed[i] = k;
  }
  return passed;
}
