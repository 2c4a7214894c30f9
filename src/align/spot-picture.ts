import type { Image } from "../numeric/image.ts";
import { createImage } from "../numeric/image.ts";
import type { AffineMap } from "./similarity.ts";
import { applyMap, invertMap } from "./similarity.ts";

/**
 * A sum of round Gaussian spots `[x, y, standard deviation, height]`, moved by a map: for tests. The moved picture is
 * computed at the moved places, so its map is exact.
 */
export function spotPicture(
  spots: readonly (readonly number[])[],
  width: number,
  height: number,
  map: AffineMap = { a: 1, b: 0, c: 0, d: 0, e: 1, f: 0 },
): Image {
  const image = createImage(width, height);
  const back = invertMap(map);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const [u, v] = applyMap(back, [x, y]);
      for (const [cx, cy, sigma, tall] of spots as readonly (readonly [number, number, number, number])[]) {
        const here = y * width + x;
        const far = (u - cx) ** 2 + (v - cy) ** 2;
        image.data[here] = (image.data[here] as number) + tall * Math.exp(-far / (2 * sigma * sigma));
      }
    }
  }
  return image;
}
