import type { Picture } from "./picture.ts";

/** A drawn area fills at least this share of the picture. */
const AREA_SHARE = 0.02;

/**
 * Counts the inner greys of which large areas are made without any noise, as windows, frames and
 * scale bars in a screen grab are. A detector gives no such areas, except where it clips: the end
 * greys (0 and 255) don't count. Only 8-bit pictures are looked at.
 */
export function screenGrabLevels(picture: Picture): number {
  const { samples, widthPx, heightPx, channels } = picture;
  if (!(samples instanceof Uint8Array)) return 0;
  const counts = new Uint32Array(256);
  const row = widthPx * channels;
  let looked = 0;
  for (let y = 1; y < heightPx - 1; y += 2) {
    for (let x = 1; x < widthPx - 1; x += 2) {
      const i = y * row + x * channels;
      const v = samples[i];
      looked++;
      const even =
        samples[i - channels] === v &&
        samples[i + channels] === v &&
        samples[i - row] === v &&
        samples[i + row] === v;
      const corners =
        samples[i - row - channels] === v &&
        samples[i - row + channels] === v &&
        samples[i + row - channels] === v &&
        samples[i + row + channels] === v;
      if (even && corners) counts[v]++;
    }
  }
  let levels = 0;
  for (let v = 1; v < 255; v++) if (counts[v] >= AREA_SHARE * looked) levels++;
  return levels;
}
