import type { Image } from "../numeric/image.ts";
import type { Image8 } from "./display-picture.ts";

/** Blue and orange: apart for readers with any common colour deficiency, and of unlike lightness. */
export const denserColour = [0, 84, 190] as const;
export const lighterColour = [235, 120, 0] as const;

const opaque = 235;

/**
 * A transparent layer that marks where a signed difference exceeds its limit.
 * Denser here: solid blue. Less dense here: orange in diagonal stripes, so that the two differ in a grey print.
 *
 * @param difference signed, in multiples of the limit
 * @param widthPx width of the layer; each of its pixels takes the largest difference it covers
 * @returns the layer, or null when nothing exceeds the limit
 */
export function differenceOverlay(difference: Image, widthPx: number): Image8 | null {
  const width = Math.min(difference.width, Math.round(widthPx));
  const height = Math.max(1, Math.round((difference.height * width) / difference.width));
  const largest = largestInCells(difference, width, height);
  const data = new Uint8Array(width * height * 4);
  let marked = false;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const value = largest[y * width + x];
      if (!(Math.abs(value) >= 1)) continue;
      marked = true;
      const stripe = value > 0 || (x + y) % 6 < 4;
      data.set([...(value > 0 ? denserColour : lighterColour), stripe ? opaque : 70], 4 * (y * width + x));
    }
  }
  return marked ? { width, height, data, channels: 4 } : null;
}

/**
 * Two averages' difference as an overlay's input: in multiples of `limit` attenuation, after a 3 by 3 mean.
 * Both images have the same size.
 */
export function averagesDifference(here: Image, there: Image, limit: number): Image {
  const { width, height } = here;
  const data = new Float32Array(width * height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      let sum = 0;
      let count = 0;
      for (let row = Math.max(0, y - 1); row <= Math.min(height - 1, y + 1); row++)
        for (let column = Math.max(0, x - 1); column <= Math.min(width - 1, x + 1); column++) {
          sum += here.data[row * width + column] - there.data[row * width + column];
          count++;
        }
      data[y * width + x] = sum / count / limit;
    }
  }
  return { width, height, data };
}

function largestInCells(image: Image, width: number, height: number): Float32Array {
  const largest = new Float32Array(width * height);
  for (let y = 0; y < image.height; y++) {
    const row = Math.min(height - 1, Math.floor((y * height) / image.height)) * width;
    for (let x = 0; x < image.width; x++) {
      const cell = row + Math.min(width - 1, Math.floor((x * width) / image.width));
      const value = image.data[y * image.width + x];
      if (Math.abs(value) > Math.abs(largest[cell])) largest[cell] = value;
    }
  }
  return largest;
}
