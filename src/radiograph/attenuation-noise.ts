import type { TransmissionRule } from "./attenuation.ts";
import { cellQuantiles } from "./cell-quantiles.ts";
import type { GreyNoise } from "./noise.ts";
import { greySigma } from "./noise.ts";

const NODES = 24;

/**
 * Carries grey noise over to attenuation: sigma_a = sigma_I / I at every grey, then the line
 * `variance = a + b * exp(attenuation)` through it over the greys that occur, exp(attenuation) being I0 / I.
 *
 * Photon noise alone gives a = 0 and b = gain / I0. Electronic and rounding noise grow as
 * exp(2 attenuation), which the line follows only over the range that occurs.
 *
 * @param cells mean stored grey of the picture's cells, from which the range is taken
 * @param beamGrey I0 in transmission grey
 */
export function attenuationNoise(
  noise: GreyNoise,
  rule: TransmissionRule,
  beamGrey: number,
  cells: Float32Array,
): { a: number; b: number } {
  const ends = cellQuantiles(cells, [0.02, 0.98]).map((v) =>
    Math.max(rule.inverted ? rule.topGrey - v : v, rule.leastGrey),
  );
  const from = Math.min(...ends);
  const to = Math.max(...ends);
  const points = Array.from({ length: NODES }, (_, k) => {
    const transmission = from + ((to - from) * k) / (NODES - 1);
    const grey = rule.inverted ? rule.topGrey - transmission : transmission;
    const y = (greySigma(noise, grey) / transmission) ** 2;
    return { x: beamGrey / transmission, y, w: 1 / (y * y + 1e-30) };
  });
  let sum = 0;
  let meanX = 0;
  let meanY = 0;
  for (const { x, y, w } of points) {
    sum += w;
    meanX += w * x;
    meanY += w * y;
  }
  meanX /= sum;
  meanY /= sum;
  let cross = 0;
  let spread = 0;
  for (const { x, y, w } of points) {
    cross += w * (x - meanX) * (y - meanY);
    spread += w * (x - meanX) ** 2;
  }
  const b = spread > 1e-12 * sum ? Math.max(0, cross / spread) : 0;
  const a = meanY - b * meanX;
  // A negative constant would make thin places noiseless: let the slope carry it all.
  return a >= 0 ? { a, b } : { a: 0, b: meanY / meanX };
}
