import type { Image } from "../image.ts";
import { rowsPerBand } from "./bands.ts";
import type { KernelEngine } from "./engine.ts";

/** The map's coefficients: x' = a x + b y + c, y' = d x + e y + f. */
interface Coefficients {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly d: number;
  readonly e: number;
  readonly f: number;
}

/** `warpAffine` by the SIMD kernel: places in 64-bit about whole pixels, interpolation in 32-bit. Input at least 2 x 2. */
export function warpByKernel(
  engine: KernelEngine,
  image: Image,
  { a, b, c, d, e, f }: Coefficients,
  fill: number,
  result: Image,
): void {
  const band = Math.min(result.height, rowsPerBand(result.width, 1));
  const [srcAt, dstAt] = engine.layout(4 * image.data.length, 4 * result.width * band);
  engine.floats(srcAt, image.data.length).set(image.data);
  const dst = engine.floats(dstAt, result.width * band);
  for (let y = 0; y < result.height; y += band) {
    const rows = Math.min(band, result.height - y);
    engine.run.warpBand(
      srcAt,
      image.width,
      image.height,
      dstAt,
      result.width,
      y,
      rows,
      a,
      b,
      c,
      d,
      e,
      f,
      fill,
    );
    result.data.set(dst.subarray(0, rows * result.width), y * result.width);
  }
}
