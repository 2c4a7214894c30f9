import type { Image } from "../image.ts";
import { copyRows, rowsPerBand } from "./bands.ts";
import type { KernelEngine } from "./engine.ts";

/** `medianFilter` of 3 x 3 by the SIMD kernel; exact. */
export function medianByKernel(engine: KernelEngine, image: Image, result: Image): void {
  const { width, height } = image;
  const band = Math.min(height, rowsPerBand(width, 1));
  const lineBytes = (4 * (width + 32) + 63) & ~63;
  const [linesAt, srcAt, dstAt] = engine.layout(3 * lineBytes + 64, 4 * width * (band + 2), 4 * width * band);
  const src = engine.floats(srcAt, width * (band + 2));
  const dst = engine.floats(dstAt, width * band);
  for (let y = 0; y < height; y += band) {
    const rows = Math.min(band, height - y);
    copyRows(image, y - 1, y + rows + 1, src);
    engine.run.medianBand(srcAt, dstAt, width, rows, linesAt + 16, lineBytes);
    result.data.set(dst.subarray(0, rows * width), y * width);
  }
}
