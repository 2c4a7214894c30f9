import type { Image } from "../numeric/image.ts";

/** Index of a sample outside the picture: mirrored about the edge. */
function mirror(i: number, n: number): number {
  if (n === 1) return 0;
  const period = 2 * n - 2;
  const k = ((i % period) + period) % period;
  return k < n ? k : period - k;
}

/** Gaussian blur by a sampled kernel of 4 sigma, edges mirrored. `sigmaPx` 0 gives a copy. */
export function gaussianBlur(image: Image, sigmaPx: number): Image {
  const { width, height } = image;
  if (sigmaPx <= 0) return { width, height, data: image.data.slice() };
  const radius = Math.max(1, Math.ceil(4 * sigmaPx));
  const kernel = new Float64Array(2 * radius + 1);
  let total = 0;
  for (let i = -radius; i <= radius; i++) {
    kernel[i + radius] = Math.exp(-(i * i) / (2 * sigmaPx * sigmaPx));
    total += kernel[i + radius];
  }
  for (let i = 0; i < kernel.length; i++) kernel[i] /= total;
  const across = new Float32Array(width * height);
  const line = new Float64Array(width + 2 * radius);
  for (let y = 0; y < height; y++) {
    for (let x = -radius; x < width + radius; x++)
      line[x + radius] = image.data[y * width + mirror(x, width)];
    for (let x = 0; x < width; x++) {
      let sum = 0;
      for (let k = 0; k < kernel.length; k++) sum += kernel[k] * line[x + k];
      across[y * width + x] = sum;
    }
  }
  const data = new Float32Array(width * height);
  for (let y = 0; y < height; y++) {
    for (let k = -radius; k <= radius; k++) {
      const from = mirror(y + k, height) * width;
      const w = kernel[k + radius];
      const to = y * width;
      for (let x = 0; x < width; x++) data[to + x] += w * across[from + x];
    }
  }
  return { width, height, data };
}

/** Means of `step` x `step` blocks; blocks at the far edges are smaller. */
function blockMeans(image: Image, step: number): Image {
  const width = Math.ceil(image.width / step);
  const height = Math.ceil(image.height / step);
  const data = new Float32Array(width * height);
  const counts = new Float32Array(width * height);
  for (let y = 0; y < image.height; y++) {
    const row = Math.floor(y / step) * width;
    for (let x = 0; x < image.width; x++) {
      const at = row + Math.floor(x / step);
      data[at] += image.data[y * image.width + x];
      counts[at]++;
    }
  }
  for (let i = 0; i < data.length; i++) data[i] /= counts[i];
  return { width, height, data };
}

/** A wide Gaussian blur, done on block means and read back bilinearly: for scatter and veiling glare. */
export function wideBlur(image: Image, sigmaPx: number): Image {
  const step = Math.max(1, Math.floor(sigmaPx / 3));
  if (step === 1) return gaussianBlur(image, sigmaPx);
  const small = gaussianBlur(blockMeans(image, step), sigmaPx / step);
  const data = new Float32Array(image.width * image.height);
  for (let y = 0; y < image.height; y++) {
    const v = Math.max(0, Math.min(small.height - 1, (y + 0.5) / step - 0.5));
    const y0 = Math.min(small.height - 1, Math.floor(v));
    const y1 = Math.min(small.height - 1, y0 + 1);
    const fy = v - y0;
    for (let x = 0; x < image.width; x++) {
      const u = Math.max(0, Math.min(small.width - 1, (x + 0.5) / step - 0.5));
      const x0 = Math.floor(u);
      const x1 = Math.min(small.width - 1, x0 + 1);
      const fx = u - x0;
      const upper = small.data[y0 * small.width + x0] * (1 - fx) + small.data[y0 * small.width + x1] * fx;
      const lower = small.data[y1 * small.width + x0] * (1 - fx) + small.data[y1 * small.width + x1] * fx;
      data[y * image.width + x] = upper * (1 - fy) + lower * fy;
    }
  }
  return { width: image.width, height: image.height, data };
}
