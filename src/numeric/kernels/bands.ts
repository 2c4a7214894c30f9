import type { Image, Mask } from "../image.ts";

/** Bytes of picture rows worked on at a time: with its result a band stays in the second-level cache. */
const BAND_BYTES = 400_000;

/** Rows in a band of a picture this wide, at least `least`. */
export function rowsPerBand(width: number, least: number): number {
  return Math.max(8, least, Math.floor(BAND_BYTES / (4 * width)));
}

/**
 * Copies rows `from` up to, not including, `to` into `band`; rows outside the picture repeat its first or last row,
 * or hold `pad` when that is given.
 */
export function copyRows<T extends Image | Mask>(
  { width, height, data }: T,
  from: number,
  to: number,
  band: T["data"],
  pad?: number,
): void {
  const inFrom = Math.min(Math.max(from, 0), height);
  const inTo = Math.max(Math.min(to, height), inFrom);
  band.set(data.subarray(inFrom * width, inTo * width), (inFrom - from) * width);
  for (let y = from; y < to; y++) {
    if (y >= inFrom && y < inTo) continue;
    const at = (y - from) * width;
    if (pad !== undefined) band.fill(pad, at, at + width);
    else band.set(data.subarray((y < 0 ? 0 : height - 1) * width, (y < 0 ? 1 : height) * width), at);
  }
}
