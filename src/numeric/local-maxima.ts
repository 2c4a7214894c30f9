import { RangeOfArgumentError } from "./errors.ts";
import { dilateGrey } from "./grey-morphology.ts";
import type { Image, PointPx } from "./image.ts";

/** A pixel that no pixel of its neighbourhood exceeds. */
export interface LocalMaximum {
  readonly x: number;
  readonly y: number;
  readonly value: number;
}

/**
 * Pixels that are the largest of the `(2 radius + 1)` square about them and at least `threshold`, largest first.
 * Of equal values within one radius the one first in raster order stands.
 *
 * @param limit how many to return at most
 */
export function localMaxima(
  image: Image,
  radiusPx: number,
  threshold: number,
  limit = Number.POSITIVE_INFINITY,
): LocalMaximum[] {
  if (!Number.isInteger(radiusPx) || radiusPx < 1) {
    throw new RangeOfArgumentError("radiusPx", "a whole number, 1 or more", radiusPx);
  }
  const { width, height, data } = image;
  const highest = dilateGrey(image, radiusPx, "square");
  const taken = new Uint8Array(width * height);
  const found: LocalMaximum[] = [];
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      if (
        data[i] < threshold ||
        data[i] !== highest.data[i] ||
        takenNear(taken, width, height, x, y, radiusPx)
      )
        continue;
      taken[i] = 1;
      found.push({ x, y, value: data[i] });
    }
  }
  found.sort((p, q) => q.value - p.value || p.y - q.y || p.x - q.x);
  return found.length > limit ? found.slice(0, limit) : found;
}

function takenNear(
  taken: Uint8Array,
  width: number,
  height: number,
  x: number,
  y: number,
  radius: number,
): boolean {
  const x0 = Math.max(0, x - radius);
  const x1 = Math.min(width - 1, x + radius);
  for (let v = Math.max(0, y - radius); v <= Math.min(height - 1, y); v++) {
    for (let u = x0; u <= x1; u++) if (taken[v * width + u] !== 0) return true;
  }
  return false;
}

/**
 * Sub-pixel place of a peak: least-squares quadratic through the 3 x 3 about it. The pixel itself on the border,
 * where the quadratic has no maximum, or where it lies more than a pixel away.
 */
export function refinePeak(image: Image, x: number, y: number): PointPx {
  const { width, height, data } = image;
  if (x < 1 || y < 1 || x > width - 2 || y > height - 2) return [x, y];
  const at = (dx: number, dy: number) => data[(y + dy) * width + x + dx];
  let sx = 0;
  let sy = 0;
  let sxx = 0;
  let syy = 0;
  let sum = 0;
  for (let dy = -1; dy <= 1; dy++) {
    for (let dx = -1; dx <= 1; dx++) {
      const value = at(dx, dy);
      sum += value;
      sx += dx * value;
      sy += dy * value;
      sxx += dx * dx * value;
      syy += dy * dy * value;
    }
  }
  const sxy = at(1, 1) + at(-1, -1) - at(1, -1) - at(-1, 1);
  const gx = sx / 6;
  const gy = sy / 6;
  const hxx = sxx - (2 / 3) * sum;
  const hyy = syy - (2 / 3) * sum;
  const hxy = sxy / 4;
  const det = hxx * hyy - hxy * hxy;
  if (!(det > 0 && hxx < 0)) return [x, y];
  const dx = (hxy * gy - hyy * gx) / det;
  const dy = (hxy * gx - hxx * gy) / det;
  return Math.abs(dx) <= 1 && Math.abs(dy) <= 1 ? [x + dx, y + dy] : [x, y];
}
