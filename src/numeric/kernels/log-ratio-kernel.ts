import type { KernelEngine } from "./engine.ts";

/** Arrays the kernel takes; it turns them into 32-bit floats on the way in. */
export type SampleArray = Uint8Array | Uint16Array | Float32Array;

/** Values worked on at a time. */
const BLOCK = 32768;

/** `logRatio` by the SIMD kernel, in 32-bit: within about 1e-6 of the plain version for ratios below 65536. */
export function logRatioByKernel(
  engine: KernelEngine,
  samples: SampleArray,
  dark: SampleArray | number,
  reference: SampleArray | number,
  floor: number,
  out: Float32Array,
): void {
  const [signalAt, darkAt, referenceAt] = engine.layout(4 * BLOCK, 4 * BLOCK, 4 * BLOCK);
  const signals = engine.floats(signalAt, BLOCK);
  const darks = engine.floats(darkAt, BLOCK);
  const references = engine.floats(referenceAt, BLOCK);
  if (typeof dark === "number") darks.fill(dark);
  if (typeof reference === "number") references.fill(reference);
  for (let from = 0; from < samples.length; from += BLOCK) {
    const to = Math.min(samples.length, from + BLOCK);
    signals.set(samples.subarray(from, to));
    if (typeof dark !== "number") darks.set(dark.subarray(from, to));
    if (typeof reference !== "number") references.set(reference.subarray(from, to));
    engine.run.logRatioBand(signalAt, darkAt, referenceAt, to - from, floor);
    out.set(signals.subarray(0, to - from), from);
  }
}
