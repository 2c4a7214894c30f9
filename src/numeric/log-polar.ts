import { RangeOfArgumentError } from "./errors.ts";
import type { Spectrum } from "./fft.ts";
import type { Image } from "./image.ts";
import { createImage } from "./image.ts";

/** Spectrum magnitude on a grid of angle (rows, 0 to pi) by logarithm of radius (columns). */
export interface LogPolar {
  readonly image: Image;
  /** A picture turned by this angle (from x towards y) moves the grid down one row. */
  readonly radPerRow: number;
  /** A picture enlarged by `exp(logPerColumn)` moves the grid left one column. */
  readonly logPerColumn: number;
}

/**
 * Log magnitude of a spectrum in log-polar form, for finding turn and scale as a shift. The magnitude of a real
 * picture repeats after half a turn, so turns are found modulo pi.
 *
 * @param rows angles over half a turn; a power of two if it goes to `phaseCorrelation`
 * @param columns radii from `minimum` to `maximum`, both shares (0..0.5) of the sampling frequency
 */
export function logPolarMagnitude(
  spectrum: Spectrum,
  rows: number,
  columns: number,
  minimum = 0.02,
  maximum = 0.35,
): LogPolar {
  if (!(minimum > 0 && minimum < maximum && maximum <= 0.5)) {
    throw new RangeOfArgumentError(
      "minimum and maximum",
      "0 < minimum < maximum <= 0.5",
      `${minimum}, ${maximum}`,
    );
  }
  const { width, height, re, im } = spectrum;
  const magnitude = createImage(width, height);
  for (let i = 0; i < magnitude.data.length; i++)
    magnitude.data[i] = Math.log1p(Math.sqrt(re[i] * re[i] + im[i] * im[i]));
  const image = createImage(columns, rows);
  const radPerRow = Math.PI / rows;
  const logPerColumn = Math.log(maximum / minimum) / columns;
  for (let column = 0; column < columns; column++) {
    const radius = minimum * Math.exp(logPerColumn * (column + 0.5));
    for (let row = 0; row < rows; row++) {
      const angle = radPerRow * row;
      image.data[row * columns + column] = circular(
        magnitude,
        radius * Math.cos(angle) * width,
        radius * Math.sin(angle) * height,
      );
    }
  }
  return { image, radPerRow, logPerColumn };
}

/** Bilinear sample of a picture that repeats in both directions. */
function circular({ width, height, data }: Image, x: number, y: number): number {
  const x0 = Math.floor(x);
  const y0 = Math.floor(y);
  const u = x - x0;
  const v = y - y0;
  const xa = ((x0 % width) + width) % width;
  const ya = ((y0 % height) + height) % height;
  const xb = (xa + 1) % width;
  const yb = (ya + 1) % height;
  const upper = data[ya * width + xa] * (1 - u) + data[ya * width + xb] * u;
  const lower = data[yb * width + xa] * (1 - u) + data[yb * width + xb] * u;
  return upper * (1 - v) + lower * v;
}
