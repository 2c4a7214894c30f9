import type { Image } from "../image.ts";
import { rowsPerBand } from "./bands.ts";
import type { KernelEngine } from "./engine.ts";

/** `reduceBy` by the SIMD kernel: sums in 32-bit. */
export function reduceByKernel(engine: KernelEngine, image: Image, factor: number, result: Image): void {
  const { width, height, data } = image;
  const cells = Math.ceil(rowsPerBand(width, factor) / factor);
  const [srcAt, lineAt, dstAt] = engine.layout(
    4 * width * cells * factor,
    4 * width,
    4 * result.width * cells,
  );
  const src = engine.floats(srcAt, width * cells * factor);
  const dst = engine.floats(dstAt, result.width * cells);
  for (let cell = 0; cell < result.height; cell += cells) {
    const count = Math.min(cells, result.height - cell);
    src.set(data.subarray(cell * factor * width, Math.min(height, (cell + count) * factor) * width));
    for (let k = 0; k < count; k++) {
      const cellRows = Math.min(factor, height - (cell + k) * factor);
      engine.run.reduceRow(
        srcAt + 4 * width * factor * k,
        lineAt,
        dstAt + 4 * result.width * k,
        width,
        cellRows,
        factor,
      );
    }
    result.data.set(dst.subarray(0, count * result.width), cell * result.width);
  }
}
