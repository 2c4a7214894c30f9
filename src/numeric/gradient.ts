import type { Image } from "./image.ts";
import { createImage } from "./image.ts";
import { assertShape } from "./shape.ts";

/** Central differences per pixel, one-sided at the border (as numpy.gradient); 0 along a side one pixel long. */
export function gradient(image: Image): { readonly gx: Image; readonly gy: Image } {
  assertShape(image);
  const { width, height, data } = image;
  const gx = createImage(width, height);
  const gy = createImage(width, height);
  for (let y = 0; y < height; y++) {
    const above = Math.max(0, y - 1);
    const below = Math.min(height - 1, y + 1);
    const perPx = below > above ? 1 / (below - above) : 0;
    const row = y * width;
    for (let x = 0; x < width; x++)
      gy.data[row + x] = (data[below * width + x] - data[above * width + x]) * perPx;
    for (let x = 1; x < width - 1; x++) gx.data[row + x] = (data[row + x + 1] - data[row + x - 1]) * 0.5;
    if (width > 1) {
      gx.data[row] = data[row + 1] - data[row];
      gx.data[row + width - 1] = data[row + width - 1] - data[row + width - 2];
    }
  }
  return { gx, gy };
}
