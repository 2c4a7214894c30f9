import type { Image } from "../numeric/image.ts";
import type { Random } from "../statistics/random.ts";
import { gaussianBlur, wideBlur } from "./blur.ts";

/** How signal becomes grey values. */
export interface DetectorSpec {
  /** Unsharpness of focal spot and screen together, standard deviation in px. */
  readonly blurSigmaPx: number;
  /** Share of the signal in the long tail of the screen's point spread, and the tail's reach in px. */
  readonly tailShare: number;
  readonly tailLengthPx: number;
  /** Scattered share of the signal, and how far it spreads in px. */
  readonly scatterShare: number;
  readonly scatterSigmaPx: number;
  /** Mean over standard deviation of one pixel in the open beam, before rounding to grey steps. */
  readonly openBeamSnr: number;
  /** Standard deviation in px of the blur that correlates the quantum noise (0: white). */
  readonly noiseCorrelationPx: number;
  readonly electronicNoiseGrey: number;
  /** Grey value of the open beam; above `ceilingGrey` it is saturated. */
  readonly openBeamGrey: number;
  readonly ceilingGrey: number;
  /** 8 and so on: values are whole multiples (a coarse digitiser, left-justified). */
  readonly greyStep: number;
  /** 16: stored as they are; 8: divided so that the ceiling becomes 255. */
  readonly bits: 8 | 16;
  /** Dense parts hold large values. */
  readonly inverted: boolean;
  /** The file says that its smallest value is white. */
  readonly minIsWhite: boolean;
  /** Fall of the beam across the picture, towards the anode side (heel effect) and to the corners; shares. */
  readonly heelShare: number;
  readonly falloffShare: number;
  /** Standard deviation of uncorrected pixel gain, and of column gain; shares. The same in all pictures. */
  readonly gainSpread: number;
  readonly columnGainSpread: number;
}

/** A clean modern flat panel: 12 bits, mild tail and scatter. Typical values, common practice. */
export const plainDetector: DetectorSpec = {
  blurSigmaPx: 0.72,
  tailShare: 0.03,
  tailLengthPx: 14,
  scatterShare: 0.04,
  scatterSigmaPx: 90,
  openBeamSnr: 600,
  noiseCorrelationPx: 0.75,
  electronicNoiseGrey: 0.5,
  openBeamGrey: 3400,
  ceilingGrey: 4095,
  greyStep: 1,
  bits: 16,
  inverted: false,
  minIsWhite: false,
  heelShare: 0,
  falloffShare: 0,
  gainSpread: 0,
  columnGainSpread: 0,
};

/** Noise of unit variance whose neighbours hang together by a Gaussian blur of `sigmaPx`. */
function correlatedNoise(width: number, height: number, sigmaPx: number, random: Random): Float32Array {
  const white = new Float32Array(width * height);
  for (let i = 0; i < white.length; i++) white[i] = random.normal();
  if (sigmaPx <= 0) return white;
  const { data } = gaussianBlur({ width, height, data: white }, sigmaPx);
  const radius = Math.max(1, Math.ceil(4 * sigmaPx));
  let total = 0;
  let squares = 0;
  for (let i = -radius; i <= radius; i++) {
    const w = Math.exp(-(i * i) / (2 * sigmaPx * sigmaPx));
    total += w;
    squares += w * w;
  }
  const gain = (total * total) / squares;
  for (let i = 0; i < data.length; i++) data[i] *= gain;
  return data;
}

/** Signal after unsharpness and scatter, before noise: 0..1 of the open beam. */
export function detectorSignal(primary: Image, spec: DetectorSpec): Image {
  const sharp = gaussianBlur(primary, spec.blurSigmaPx);
  if (spec.tailShare > 0) {
    const near = wideBlur(primary, spec.tailLengthPx / 2);
    const far = wideBlur(primary, spec.tailLengthPx);
    for (let i = 0; i < sharp.data.length; i++) {
      sharp.data[i] += spec.tailShare * (0.5 * (near.data[i] + far.data[i]) - sharp.data[i]);
    }
  }
  if (spec.scatterShare > 0) {
    const scatter = wideBlur(sharp, spec.scatterSigmaPx);
    for (let i = 0; i < sharp.data.length; i++) {
      sharp.data[i] += spec.scatterShare * (scatter.data[i] - sharp.data[i]);
    }
  }
  return sharp;
}

/**
 * The grey values a detector gives for a primary picture.
 *
 * Quantum noise: variance proportional to signal, `sqrt(signal) / openBeamSnr` of the open beam, so that the
 * open beam has the SNR asked for. Gain is fixed to the detector: `gainRandom` is the same for every picture.
 */
export function detect(
  primary: Image,
  spec: DetectorSpec,
  noiseRandom: Random,
  gainRandom: Random,
): Uint16Array {
  const { width, height } = primary;
  const signal = detectorSignal(primary, spec).data;
  const quantum = correlatedNoise(width, height, spec.noiseCorrelationPx, noiseRandom.fork("quantum"));
  const electronic = noiseRandom.fork("electronic");
  const columns = Float64Array.from({ length: width }, () => 1 + spec.columnGainSpread * gainRandom.normal());
  const samples = new Uint16Array(width * height);
  const top = Math.floor(spec.ceilingGrey / spec.greyStep) * spec.greyStep;
  for (let y = 0; y < height; y++) {
    const v = (2 * (y + 0.5)) / height - 1;
    for (let x = 0; x < width; x++) {
      const u = (2 * (x + 0.5)) / width - 1;
      const at = y * width + x;
      const beam = (1 - spec.heelShare * 0.5 * (1 + v)) * (1 - spec.falloffShare * 0.5 * (u * u + v * v));
      let value = Math.max(0, signal[at]) * beam;
      value += (Math.sqrt(value) * quantum[at]) / spec.openBeamSnr;
      if (spec.gainSpread > 0) value *= 1 + spec.gainSpread * gainRandom.normal();
      value *= columns[x];
      let grey = value * spec.openBeamGrey;
      if (spec.electronicNoiseGrey > 0) grey += spec.electronicNoiseGrey * electronic.normal();
      grey = Math.max(0, Math.min(top, Math.round(grey / spec.greyStep) * spec.greyStep));
      if (spec.inverted) grey = spec.ceilingGrey - grey;
      samples[at] = spec.bits === 8 ? Math.round((grey * 255) / spec.ceilingGrey) : grey;
    }
  }
  return samples;
}
