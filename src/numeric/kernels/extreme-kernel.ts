import type { Image } from "../image.ts";
import { copyRows, rowsPerBand } from "./bands.ts";
import type { KernelEngine } from "./engine.ts";

/** Columns the kernel works on at a time (BLOCK in assembly/extreme.ts). */
const BLOCK = 512;

/**
 * Smallest or largest value under a flat element by the SIMD kernel; exact.
 *
 * @param halfWidths half width of the element in rows dy = 0..radius, not increasing
 */
export function extremeByKernel(
  engine: KernelEngine,
  image: Image,
  halfWidths: Int32Array,
  lowest: boolean,
  result: Image,
): void {
  const { width, height } = image;
  const radius = halfWidths.length - 1;
  const band = Math.min(height, rowsPerBand(width, 4 * radius));
  const distinct = [...new Set(halfWidths)].sort((p, q) => p - q);
  let ringRows = 1;
  while (ringRows < 2 * radius + 1) ringRows *= 2;
  const levels = Math.floor(Math.log2(2 * distinct[distinct.length - 1] + 1)) + 1;
  const [widthsAt, rowsAt, windowsAt, ringAt, srcAt, dstAt] = engine.layout(
    4 * distinct.length,
    4 * (2 * radius + 1),
    4 * levels * (BLOCK + 2 * radius + 16),
    4 * ringRows * distinct.length * BLOCK,
    4 * width * (band + 2 * radius),
    4 * width * band,
  );
  engine.integers(widthsAt, distinct.length).set(distinct);
  engine
    .integers(rowsAt, 2 * radius + 1)
    .set(
      Array.from({ length: 2 * radius + 1 }, (_, j) => distinct.indexOf(halfWidths[Math.abs(j - radius)])),
    );
  const pad = lowest ? Number.POSITIVE_INFINITY : Number.NEGATIVE_INFINITY;
  const src = engine.floats(srcAt, width * (band + 2 * radius));
  const dst = engine.floats(dstAt, width * band);
  for (let y = 0; y < height; y += band) {
    const rows = Math.min(band, height - y);
    copyRows(image, y - radius, y + rows + radius, src, pad);
    engine.run.extremeBand(
      srcAt,
      dstAt,
      width,
      rows,
      radius,
      widthsAt,
      distinct.length,
      rowsAt,
      windowsAt,
      ringAt,
      ringRows,
      pad,
      lowest ? 1 : 0,
    );
    result.data.set(dst.subarray(0, rows * width), y * width);
  }
}
