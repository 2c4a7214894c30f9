import type { Image } from "../image.ts";
import { copyRows, rowsPerBand } from "./bands.ts";
import type { KernelEngine } from "./engine.ts";

/** `boxMean` (and variance, when a picture is given for it) by the SIMD kernel; sums in 64-bit as in the plain version. */
export function boxByKernel(
  engine: KernelEngine,
  image: Image,
  radius: number,
  offset: number,
  mean: Image,
  variance: Image | null,
): void {
  const { width, height } = image;
  const band = Math.min(height, rowsPerBand(width, radius));
  const wide = 8 * (width + 2 * radius + 4);
  const [columnsAt, squaresAt, runsAt, runSquaresAt, srcAt, meanAt, varianceAt] = engine.layout(
    wide,
    wide,
    wide,
    wide,
    4 * width * (band + 2 * radius),
    4 * width * band,
    4 * width * band,
  );
  const ahead = 8 * (radius + 2);
  const src = engine.floats(srcAt, width * (band + 2 * radius));
  const means = engine.floats(meanAt, width * band);
  const variances = engine.floats(varianceAt, width * band);
  for (let y = 0; y < height; y += band) {
    const rows = Math.min(band, height - y);
    copyRows(image, y - radius, y + rows + radius, src);
    engine.run.boxBand(
      srcAt,
      columnsAt + ahead,
      variance === null ? 0 : squaresAt + ahead,
      runsAt,
      runSquaresAt,
      meanAt,
      varianceAt,
      width,
      rows,
      radius,
      y === 0 ? 1 : 0,
      offset,
    );
    mean.data.set(means.subarray(0, rows * width), y * width);
    variance?.data.set(variances.subarray(0, rows * width), y * width);
  }
}
