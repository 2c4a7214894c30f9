import type { Image } from "../image.ts";
import { copyRows, rowsPerBand } from "./bands.ts";
import type { KernelEngine } from "./engine.ts";

/** `gaussianBlur` by the SIMD kernel: sums in 32-bit, taps rounded to 32-bit. */
export function gaussianByKernel(
  engine: KernelEngine,
  image: Image,
  taps: Float64Array,
  result: Image,
): void {
  const { width, height } = image;
  const radius = taps.length - 1;
  const band = Math.min(height, rowsPerBand(width, 2 * radius));
  const [tapsAt, filteredAt, lineAt, srcAt, dstAt] = engine.layout(
    4 * taps.length,
    4 * (width + 16) * band,
    4 * (width + 2 * radius),
    4 * width * (band + 2 * radius),
    4 * width * band,
  );
  engine.floats(tapsAt, taps.length).set(taps);
  const src = engine.floats(srcAt, width * (band + 2 * radius));
  const dst = engine.floats(dstAt, width * band);
  for (let y = 0; y < height; y += band) {
    const rows = Math.min(band, height - y);
    copyRows(image, y - radius, y + rows + radius, src);
    engine.run.gaussianBand(srcAt, filteredAt, lineAt + 4 * radius, dstAt, width, rows, tapsAt, radius);
    result.data.set(dst.subarray(0, rows * width), y * width);
  }
}
