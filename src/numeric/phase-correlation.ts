import { fft2 } from "./fft.ts";
import type { Image } from "./image.ts";
import { assertSameShape } from "./shape.ts";

/** A shift between two pictures. */
export interface Shift {
  /** `second(x, y)` shows what `first(x - dx, y - dy)` shows: the content moved by (dx, dy). */
  readonly dx: number;
  readonly dy: number;
  /** Height of the correlation peak: 1 for a pure circular shift, near 0 for unrelated pictures. */
  readonly peak: number;
}

/** Spatial spread of the smoothed peak in pixels: wide enough that three samples fix its place. */
const PEAK_SIGMA_PX = 0.8;

/**
 * Shift between two pictures of equal power-of-two size, from the phases of their spectra alone. The phases are
 * weighted by a Gaussian, so an exact shift gives a Gaussian peak whose place follows from the logarithms of three
 * samples along each axis. Shifts are circular; give tapered pictures (see `tapered`) when content does not wrap.
 *
 * @throws ShapeError for different sizes; RangeOfArgumentError for a side that is not a power of two
 */
export function phaseCorrelation(first: Image, second: Image): Shift {
  assertSameShape(first, second);
  const { width, height } = first;
  // Both real pictures in one complex transform: F = (Z(k) + conj Z(-k)) / 2, S = (Z(k) - conj Z(-k)) / 2i.
  const z = fft2({ width, height, re: first.data, im: second.data });
  const re = new Float32Array(width * height);
  const im = new Float32Array(width * height);
  const acrossWeights = frequencyWeights(width);
  const downWeights = frequencyWeights(height);
  let total = 0;
  for (let v = 0; v < height; v++) {
    const mirrorRow = ((height - v) % height) * width;
    for (let u = 0; u < width; u++) {
      const i = v * width + u;
      const m = mirrorRow + ((width - u) % width);
      const firstRe = z.re[i] + z.re[m];
      const firstIm = z.im[i] - z.im[m];
      const secondRe = z.im[i] + z.im[m];
      const secondIm = z.re[m] - z.re[i];
      const crossRe = secondRe * firstRe + secondIm * firstIm;
      const crossIm = secondIm * firstRe - secondRe * firstIm;
      const size = Math.sqrt(crossRe * crossRe + crossIm * crossIm);
      const weight = acrossWeights[u] * downWeights[v];
      total += weight;
      if (size > 1e-20) {
        re[i] = (weight * crossRe) / size;
        im[i] = (weight * crossIm) / size;
      }
    }
  }
  const correlation = fft2({ width, height, re, im }, "inverse");
  return peakOf(correlation.re, width, height, (width * height) / total);
}

function frequencyWeights(n: number): Float64Array {
  const weights = new Float64Array(n);
  for (let k = 0; k < n; k++) {
    const angular = (2 * Math.PI * Math.min(k, n - k)) / n;
    weights[k] = Math.exp((-angular * angular * PEAK_SIGMA_PX * PEAK_SIGMA_PX) / 2);
  }
  return weights;
}

function peakOf(surface: Float32Array, width: number, height: number, scale: number): Shift {
  let best = 0;
  for (let i = 1; i < surface.length; i++) if (surface[i] > surface[best]) best = i;
  const x = best % width;
  const y = (best - x) / width;
  const row = y * width;
  const dx = offsetOf(
    surface[row + ((x + width - 1) % width)],
    surface[best],
    surface[row + ((x + 1) % width)],
  );
  const above = ((y + height - 1) % height) * width;
  const below = ((y + 1) % height) * width;
  const dy = offsetOf(surface[above + x], surface[best], surface[below + x]);
  return {
    dx: (x > width / 2 ? x - width : x) + dx,
    dy: (y > height / 2 ? y - height : y) + dy,
    peak: surface[best] * scale,
  };
}

/** Place of a Gaussian's top from three samples; a parabola's when a sample is not positive. */
function offsetOf(before: number, at: number, after: number): number {
  const logs = before > 0 && at > 0 && after > 0;
  const p = logs ? Math.log(before) : before;
  const q = logs ? Math.log(at) : at;
  const r = logs ? Math.log(after) : after;
  const curvature = p - 2 * q + r;
  return curvature < 0 ? Math.max(-0.5, Math.min(0.5, (p - r) / (2 * curvature))) : 0;
}
