import { dilateGrey, erodeGrey, openGrey } from "../../../numeric/grey-morphology.ts";
import type { Image, Mask } from "../../../numeric/image.ts";
import { createMask } from "../../../numeric/image.ts";
import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";

/** A part prepared for comparing: thin dense lines (wires) taken away, with its upper and lower envelope. */
export interface ComparablePart {
  readonly width: number;
  readonly height: number;
  readonly level: Float32Array;
  readonly upper: Float32Array;
  readonly lower: Float32Array;
}

/**
 * Prepares one aligned, tone-matched part. Wires (a pixel or two wide at this size, swept differently in every
 * part) are opened away; the envelopes over the neighbouring pixels absorb what is left of misregistration.
 *
 * @param instead values for pixels the part does not cover (NaN), same size; NaN where no part has any
 * @param slackPx reach of the envelopes
 */
export function comparablePart(image: Image, instead: Image, slackPx = 1): ComparablePart {
  const data = image.data.slice();
  for (let i = 0; i < data.length; i++) {
    if (!Number.isNaN(data[i] as number)) continue;
    const other = instead.data[i] as number;
    // Where no part of the lot has a value all are given the same one.
    data[i] = Number.isNaN(other) ? 0 : other;
  }
  const { width, height } = image;
  const opened = openGrey({ width, height, data }, 1, "square");
  return {
    width,
    height,
    level: opened.data,
    upper: dilateGrey(opened, slackPx, "square").data,
    lower: erodeGrey(opened, slackPx, "square").data,
  };
}

/** What of a part is compared: its selected pixels alone, in raster order. */
export interface ComparedPixels {
  readonly level: Float32Array;
  readonly upper: Float32Array;
  readonly lower: Float32Array;
}

/** Gathers the pixels that `where` selects: done once for a part that is compared with many. */
export function comparedPixels(part: ComparablePart, where: Mask): ComparedPixels {
  let selected = 0;
  for (let i = 0; i < where.data.length; i++) if (where.data[i]) selected++;
  const level = new Float32Array(selected);
  const upper = new Float32Array(selected);
  const lower = new Float32Array(selected);
  for (let i = 0, k = 0; k < selected; i++) {
    if (!where.data[i]) continue;
    level[k] = part.level[i] as number;
    upper[k] = part.upper[i] as number;
    lower[k++] = part.lower[i] as number;
  }
  return { level, upper, lower };
}

/**
 * How much two parts differ where `where` selects: the attenuation by which each leaves the other's envelope by
 * more than `tolerance`, summed over pixels and shared by their number. Symmetric; 0 for parts that agree.
 */
export function pairDifference(p: ComparablePart, q: ComparablePart, where: Mask, tolerance: number): number {
  return pixelDifference(comparedPixels(p, where), comparedPixels(q, where), tolerance);
}

/** `pairDifference` of pixels gathered before. */
export function pixelDifference(p: ComparedPixels, q: ComparedPixels, tolerance: number): number {
  const { level: pLevel, upper: pUpper, lower: pLower } = p;
  const { level: qLevel, upper: qUpper, lower: qLower } = q;
  let sum = 0;
  for (let i = 0; i < pLevel.length; i++) {
    const a = pLevel[i] as number;
    const b = qLevel[i] as number;
    const above = Math.max(a - (qUpper[i] as number), b - (pUpper[i] as number));
    const below = Math.max((qLower[i] as number) - a, (pLower[i] as number) - b);
    const off = Math.max(above, below) - tolerance;
    if (off > 0) sum += off;
  }
  return pLevel.length ? sum / pLevel.length : 0;
}

/** Pixels inside `include` and outside all of `leaveOut` (upright rectangles). */
export function compareMask(
  width: number,
  height: number,
  include: OrientedRectangle,
  leaveOut: readonly OrientedRectangle[] = [],
): Mask {
  const mask = createMask(width, height);
  const inside = (r: OrientedRectangle, x: number, y: number) =>
    Math.abs(x - r.centrePx[0]) <= r.lengthPx / 2 && Math.abs(y - r.centrePx[1]) <= r.widthPx / 2;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      if (inside(include, x, y) && !leaveOut.some((r) => inside(r, x, y))) mask.data[y * width + x] = 1;
    }
  }
  return mask;
}
