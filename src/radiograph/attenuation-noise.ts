import type { TransmissionRule } from "./attenuation.ts";
import type { GreyNoise } from "./noise.ts";
import { greySigma } from "./noise.ts";

const SAMPLES = 4096;
const NODES = 24;

/**
 * Carries grey noise over to attenuation: sigma_a = sigma_I / I at every grey, then the line
 * `variance = a + b * exp(attenuation)` through it over the attenuations that occur.
 *
 * Photon noise alone gives a = 0 and b = gain / I0. Electronic and rounding noise grow as
 * exp(2 attenuation), which the line follows only over the range that occurs.
 */
export function attenuationNoise(
  noise: GreyNoise,
  rule: TransmissionRule,
  beamGrey: number,
  attenuation: Float32Array,
): { a: number; b: number } {
  const stride = Math.max(1, Math.floor(attenuation.length / SAMPLES));
  const seen: number[] = [];
  for (let i = 0; i < attenuation.length; i += stride) seen.push(attenuation[i]);
  seen.sort((p, q) => p - q);
  const low = seen[Math.floor(0.02 * (seen.length - 1))];
  const high = seen[Math.ceil(0.98 * (seen.length - 1))];
  let sum = 0;
  let meanX = 0;
  let meanY = 0;
  const points: { x: number; y: number; w: number }[] = [];
  for (let k = 0; k < NODES; k++) {
    const at = low + ((high - low) * k) / (NODES - 1);
    const x = Math.exp(at);
    const transmission = Math.max(beamGrey / x, rule.leastGrey);
    const grey = rule.inverted ? rule.topGrey - transmission : transmission;
    const y = (greySigma(noise, grey) / transmission) ** 2;
    const w = 1 / (y * y + 1e-30);
    points.push({ x, y, w });
    sum += w;
    meanX += w * x;
    meanY += w * y;
  }
  meanX /= sum;
  meanY /= sum;
  let cross = 0;
  let spread = 0;
  for (const p of points) {
    cross += p.w * (p.x - meanX) * (p.y - meanY);
    spread += p.w * (p.x - meanX) ** 2;
  }
  const b = spread > 1e-12 * sum ? Math.max(0, cross / spread) : 0;
  const a = meanY - b * meanX;
  // A negative constant would make thin places noiseless: let the slope carry it all.
  return a >= 0 ? { a, b } : { a: 0, b: meanY / meanX };
}
