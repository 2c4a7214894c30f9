import type { Image } from "../image.ts";
import type { KernelEngine } from "./engine.ts";

/** Pixels worked on at a time. */
const BLOCK = 1024;

/**
 * Comparisons that sort `count` values, as index pairs (smaller first): Batcher's odd-even merging (AFIPS 1968; from
 * memory), leaving out those that reach past the end. Of these only what leads to the wanted places is kept.
 */
export function sortingPairs(count: number, wanted: readonly number[]): [number, number][] {
  const pairs: [number, number][] = [];
  for (let p = 1; p < count; p *= 2) {
    for (let k = p; k >= 1; k /= 2) {
      for (let j = k % p; j + k < count; j += 2 * k) {
        for (let i = 0; i < Math.min(k, count - j - k); i++) {
          if (Math.floor((i + j) / (2 * p)) === Math.floor((i + j + k) / (2 * p)))
            pairs.push([i + j, i + j + k]);
        }
      }
    }
  }
  const needed = new Set(wanted);
  const kept: [number, number][] = [];
  for (const [first, second] of pairs.reverse()) {
    if (!needed.has(first) && !needed.has(second)) continue;
    needed.add(first);
    needed.add(second);
    kept.push([first, second]);
  }
  return kept.reverse();
}

/** `stackQuantile` by the SIMD kernel: sorts, then interpolates in 32-bit. */
export function stackQuantileByKernel(
  engine: KernelEngine,
  images: readonly Image[],
  q: number,
  result: Image,
): void {
  const count = images.length;
  const position = q * (count - 1);
  const lower = Math.floor(position);
  const upper = Math.min(count - 1, lower + 1);
  const pairs = sortingPairs(count, [lower, upper]);
  const [pairsAt, valuesAt, srcAt, dstAt] = engine.layout(
    8 * pairs.length,
    64 * count,
    4 * BLOCK * count,
    4 * BLOCK,
  );
  engine.integers(pairsAt, 2 * pairs.length).set(pairs.flat().map((index) => 64 * index));
  const src = engine.floats(srcAt, BLOCK * count);
  const dst = engine.floats(dstAt, BLOCK);
  for (let from = 0; from < result.data.length; from += BLOCK) {
    const to = Math.min(result.data.length, from + BLOCK);
    for (let k = 0; k < count; k++) src.set(images[k].data.subarray(from, to), k * BLOCK);
    engine.run.stackBand(
      srcAt,
      BLOCK,
      count,
      valuesAt,
      pairsAt,
      pairs.length,
      64 * lower,
      64 * upper,
      position - lower,
      dstAt,
    );
    result.data.set(dst.subarray(0, to - from), from);
  }
}
