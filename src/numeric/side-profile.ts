import type { Image } from "./image.ts";
import { median } from "./order.ts";
import type { OrientedRectangle } from "./oriented-rectangle.ts";
import { sampleBilinear } from "./warp.ts";

/**
 * Middle profile across one side of a rectangle, along its outward normal.
 *
 * @param side 0 right (+length), 1 bottom (+width), 2 left, 3 top, in the rectangle's own axes
 * @param alongPx where along the side, px from its middle; the median over these places is taken
 * @param places where across the side, px outwards from it
 * @returns one value for each place, or null when a profile leaves the picture
 */
export function sideProfile(
  image: Image,
  rect: OrientedRectangle,
  side: number,
  alongPx: readonly number[],
  places: readonly number[],
): number[] | null {
  const angle = rect.angleRad + (side * Math.PI) / 2;
  const [nx, ny] = [Math.cos(angle), Math.sin(angle)];
  const half = (side % 2 === 0 ? rect.lengthPx : rect.widthPx) / 2;
  const values: number[] = [];
  for (const place of places) {
    const n = half + place;
    const across = Float32Array.from(alongPx, (t) =>
      sampleBilinear(image, rect.centrePx[0] + nx * n - ny * t, rect.centrePx[1] + ny * n + nx * t),
    );
    if (!across.length || across.some(Number.isNaN)) return null;
    values.push(median(across));
  }
  return values;
}
