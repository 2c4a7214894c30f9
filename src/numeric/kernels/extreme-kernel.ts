import type { Image, Mask } from "../image.ts";
import { copyRows, rowsPerBand } from "./bands.ts";
import type { KernelEngine } from "./engine.ts";

/** Bytes of a row worked on at a time (BLOCK_BYTES in assembly/extreme.ts). */
const BLOCK_BYTES = 2048;

/**
 * Tables and scratch of one element in the engine's memory, then the bands: `src` with a radius of rows more above and
 * below for each step, `dst`, and between the two steps of an opening or closing `mid`.
 */
function layoutFor(
  engine: KernelEngine,
  halfWidths: Int32Array,
  rowBytes: number,
  band: number,
  size: number,
  steps: 1 | 2 = 1,
) {
  const radius = halfWidths.length - 1;
  const distinct = [...new Set(halfWidths)].sort((p, q) => p - q);
  let ringRows = 1;
  while (ringRows < 2 * radius + 1) ringRows *= 2;
  const levels = Math.floor(Math.log2(2 * distinct[distinct.length - 1] + 1)) + 1;
  const [widths, rowWidths, pointers, windows, ring, src, dst, mid] = engine.layout(
    4 * distinct.length,
    4 * (2 * radius + 1),
    4 * (2 * radius + 1),
    levels * (BLOCK_BYTES + (2 * radius + 16) * size + 128),
    ringRows * distinct.length * BLOCK_BYTES,
    rowBytes * (band + 2 * steps * radius),
    rowBytes * band,
    steps === 2 ? rowBytes * (band + 2 * radius) : 0,
  );
  engine.integers(widths, distinct.length).set(distinct);
  engine
    .integers(rowWidths, 2 * radius + 1)
    .set(
      Array.from({ length: 2 * radius + 1 }, (_, j) => distinct.indexOf(halfWidths[Math.abs(j - radius)])),
    );
  return {
    radius,
    distinct: distinct.length,
    ringRows,
    widths,
    rowWidths,
    pointers,
    windows,
    ring,
    src,
    dst,
    mid,
  };
}

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
  const band = Math.min(height, Math.max(rowsPerBand(width, 8 * halfWidths.length), 64));
  const at = layoutFor(engine, halfWidths, 4 * width, band, 4);
  const pad = lowest ? Number.POSITIVE_INFINITY : Number.NEGATIVE_INFINITY;
  const src = engine.floats(at.src, width * (band + 2 * at.radius));
  const dst = engine.floats(at.dst, width * band);
  const mode = lowest ? 0 : 1;
  for (let y = 0; y < height; y += band) {
    const rows = Math.min(band, height - y);
    copyRows(image, y - at.radius, y + rows + at.radius, src, pad);
    runBand(engine, at, at.src, at.dst, width, rows, mode);
    result.data.set(dst.subarray(0, rows * width), y * width);
  }
}

/**
 * Opening (smallest, then largest) or closing by the SIMD kernel, both steps on a band while it is in the cache.
 *
 * @param opening true to open, false to close
 */
export function openByKernel(
  engine: KernelEngine,
  image: Image,
  halfWidths: Int32Array,
  opening: boolean,
  result: Image,
): void {
  const { width, height } = image;
  const band = Math.min(height, Math.max(rowsPerBand(width, 16 * halfWidths.length), 64));
  const at = layoutFor(engine, halfWidths, 4 * width, band, 4, 2);
  const { radius } = at;
  const inner = opening ? Number.POSITIVE_INFINITY : Number.NEGATIVE_INFINITY;
  const src = engine.floats(at.src, width * (band + 4 * radius));
  const mid = engine.floats(at.mid, width * (band + 2 * radius));
  const dst = engine.floats(at.dst, width * band);
  for (let y = 0; y < height; y += band) {
    const rows = Math.min(band, height - y);
    copyRows(image, y - 2 * radius, y + rows + 2 * radius, src, inner);
    runBand(engine, at, at.src, at.mid, width, rows + 2 * radius, opening ? 0 : 1);
    // Rows outside the picture must not win in the second step either.
    mid.fill(-inner, 0, width * Math.max(0, radius - y));
    mid.fill(-inner, width * Math.min(rows + 2 * radius, height - y + radius), width * (rows + 2 * radius));
    runBand(engine, at, at.mid, at.dst, width, rows, opening ? 1 : 0);
    result.data.set(dst.subarray(0, rows * width), y * width);
  }
}

/** The same over a mask: `lowest` erodes, without an outside that erodes; else dilates. */
export function maskExtremeByKernel(
  engine: KernelEngine,
  mask: Mask,
  halfWidths: Int32Array,
  lowest: boolean,
  result: Mask,
): void {
  const { width, height } = mask;
  const band = Math.min(height, Math.max(rowsPerBand(width, 8 * halfWidths.length), 64));
  const at = layoutFor(engine, halfWidths, width, band, 1);
  const src = engine.bytes(at.src, width * (band + 2 * at.radius));
  const dst = engine.bytes(at.dst, width * band);
  for (let y = 0; y < height; y += band) {
    const rows = Math.min(band, height - y);
    copyRows(mask, y - at.radius, y + rows + at.radius, src, lowest ? 1 : 0);
    runBand(engine, at, at.src, at.dst, width, rows, lowest ? 2 : 3);
    result.data.set(dst.subarray(0, rows * width), y * width);
  }
}

function runBand(
  engine: KernelEngine,
  at: ReturnType<typeof layoutFor>,
  src: number,
  dst: number,
  width: number,
  rows: number,
  mode: number,
): void {
  engine.run.extremeBand(
    src,
    dst,
    width,
    rows,
    at.radius,
    at.widths,
    at.distinct,
    at.rowWidths,
    at.pointers,
    at.windows,
    at.ring,
    at.ringRows,
    mode,
  );
}
