import type { Image, Mask } from "./image.ts";

/** A picture written out in rows, for tests. */
export function imageOf(rows: readonly (readonly number[])[]): Image {
  return { width: rows[0].length, height: rows.length, data: Float32Array.from(rows.flat()) };
}

/** A mask drawn in text, for tests: `#` is selected. */
export function maskOf(...rows: readonly string[]): Mask {
  return {
    width: rows[0].length,
    height: rows.length,
    data: Uint8Array.from(rows.flatMap((row) => [...row].map((c) => (c === "#" ? 1 : 0)))),
  };
}

/** A mask as the text `maskOf` reads. */
export function drawn({ width, height, data }: Mask): string[] {
  return Array.from({ length: height }, (_, y) =>
    [...data.subarray(y * width, (y + 1) * width)].map((v) => (v === 0 ? "." : "#")).join(""),
  );
}

/** A repeatable noise picture in 0..1 (linear congruential steps of `seed`), for tests. */
export function noiseImage(width: number, height: number, seed = 1): Image {
  const data = new Float32Array(width * height);
  let state = seed >>> 0;
  for (let i = 0; i < data.length; i++) {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    data[i] = (state >>> 8) / 16777216;
  }
  return { width, height, data };
}

/** A picture mirrored left to right, for tests. */
export function mirrored<T extends Image | Mask>({ width, height, data }: T): T {
  const copy = data.slice();
  for (let y = 0; y < height; y++) copy.subarray(y * width, (y + 1) * width).reverse();
  return { width, height, data: copy } as T;
}

/** Largest absolute difference between two arrays, for tests. */
export function largestDifference(first: ArrayLike<number>, second: ArrayLike<number>): number {
  let largest = first.length === second.length ? 0 : Number.POSITIVE_INFINITY;
  for (let i = 0; i < first.length; i++) largest = Math.max(largest, Math.abs(first[i] - second[i]));
  return largest;
}
