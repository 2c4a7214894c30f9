import type { Image } from "../numeric/image.ts";
import { quantile } from "../numeric/order.ts";

/** An 8-bit picture for an encoder: row-major, channels interleaved, `width * height * channels` long. */
export interface Image8 {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
  readonly channels: 1 | 3 | 4;
}

/** Attenuation shown lightest (`low`) and darkest (`high`). One window serves every picture of a report. */
export interface DisplayWindow {
  readonly low: number;
  readonly high: number;
}

/**
 * The window for a set of pictures: from the 0.5 % to the 99 % quantile over all of them, 4 % wider
 * at both ends. Attenuation without a finite value is left out.
 */
export function displayWindow(images: readonly Image[]): DisplayWindow {
  const lows: number[] = [];
  const highs: number[] = [];
  for (const { data } of images) {
    const finite = data.filter(Number.isFinite);
    if (finite.length === 0) continue;
    lows.push(quantile(finite, 0.005));
    highs.push(quantile(finite, 0.99));
  }
  if (lows.length === 0) return { low: 0, high: 1 };
  const low = Math.min(...lows);
  const high = Math.max(...highs);
  const margin = high > low ? 0.04 * (high - low) : 0.5;
  return { low: low - margin, high: high + margin };
}

/** Attenuation as grey: denser is darker. Pixels without a finite value are white. */
export function greyPicture({ width, height, data }: Image, { low, high }: DisplayWindow): Image8 {
  const grey = new Uint8Array(width * height);
  for (let at = 0; at < grey.length; at++) {
    const share = (data[at] - low) / (high - low);
    grey[at] = share > 0 ? Math.round(255 * (1 - Math.min(1, share))) : 255;
  }
  return { width, height, data: grey, channels: 1 };
}

/** The picture at most `widthPx` wide, by area mean with partial cells; never enlarged. */
export function shrinkTo(image: Image, widthPx: number): Image {
  if (image.width <= widthPx) return image;
  const width = Math.max(1, Math.round(widthPx));
  const height = Math.max(1, Math.round((image.height * width) / image.width));
  const rows = shrinkRows(image.data, image.width, image.height, width);
  const turned = transpose(rows, width, image.height);
  const columns = shrinkRows(turned, image.height, width, height);
  return { width, height, data: transpose(columns, height, width) };
}

function shrinkRows(data: Float32Array, width: number, height: number, newWidth: number): Float32Array {
  const out = new Float32Array(newWidth * height);
  const step = width / newWidth;
  for (let x = 0; x < newWidth; x++) {
    const from = x * step;
    const to = Math.min(width, from + step);
    for (let y = 0; y < height; y++) {
      let sum = 0;
      for (let column = Math.floor(from); column < to; column++)
        sum += data[y * width + column] * (Math.min(to, column + 1) - Math.max(from, column));
      out[y * newWidth + x] = sum / (to - from);
    }
  }
  return out;
}

function transpose(data: Float32Array, width: number, height: number): Float32Array {
  const out = new Float32Array(data.length);
  for (let y = 0; y < height; y++) for (let x = 0; x < width; x++) out[x * height + y] = data[y * width + x];
  return out;
}
