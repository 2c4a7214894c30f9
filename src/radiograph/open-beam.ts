import type { Image, Mask } from "../numeric/image.ts";
import { createMask } from "../numeric/image.ts";
import type { AttenuationMap, TransmissionRule } from "./attenuation.ts";
import { attenuationFromBackground } from "./attenuation.ts";
import { attenuationNoise } from "./attenuation-noise.ts";
import type { Background } from "./background.ts";
import { findBackground } from "./background.ts";
import { cellQuantiles } from "./cell-quantiles.ts";
import type { ClipLevels } from "./clipping.ts";
import { attenuationFromFrames } from "./flat-field.ts";
import type { GreyNoise } from "./noise.ts";
import { estimateGreyNoise, greySigma } from "./noise.ts";
import type { Picture, Samples } from "./picture.ts";
import type { ReducedPicture } from "./reduced-picture.ts";
import { reducePicture } from "./reduced-picture.ts";

/** Longer side of the reduced picture, cells: enough for gaps between parts, cheap to search. */
export const REDUCED_CELLS = 400;

/** I0 by either way, and what follows from it. */
export interface BeamResult {
  readonly kind: "flat-frame" | "fitted" | "none";
  readonly greyMean: number;
  readonly share: number;
  readonly saturated: boolean;
  readonly map: AttenuationMap;
  readonly noise: { readonly a: number; readonly b: number };
  /** Signal-to-noise ratio of the open beam; null when no noise could be seen. */
  readonly snr: number | null;
  readonly badPixels: number;
}

/** I0 fitted to the unobstructed background of the picture itself. */
export function byFittedBeam(
  samples: Samples,
  picture: Picture,
  reduced: ReducedPicture,
  rule: TransmissionRule,
  clip: ClipLevels,
  noise: GreyNoise,
): BeamResult {
  const { background, factorPx } = searchBackground(reduced, rule, clip, noise);
  const { greyMean } = background;
  const map = attenuationFromBackground(
    samples,
    picture.widthPx,
    picture.heightPx,
    rule,
    clip,
    background,
    factorPx,
  );
  const sigma = greySigma(noise, rule.inverted ? rule.topGrey - greyMean : greyMean);
  return {
    ...background,
    map,
    noise: attenuationNoise(noise, rule, greyMean, reduced.mean),
    snr: noise.bins.length > 0 && sigma > 0 ? greyMean / sigma : null,
    badPixels: 0,
  };
}

/** I0 from a flat frame; noise is estimated after correction, without the fixed pattern. */
export function byFrames(
  samples: Samples,
  picture: Picture,
  flat: Picture,
  dark: Picture | undefined,
  rule: TransmissionRule,
  clip: ClipLevels,
  step: number,
): BeamResult {
  const { widthPx, heightPx } = picture;
  const framed = attenuationFromFrames(samples, widthPx, heightPx, flat, dark, clip);
  const { corrected, beamGreyMean } = framed;
  const noise = estimateGreyNoise(corrected, widthPx, heightPx, { low: null, high: null }, step);
  const reduced = reducePicture(corrected, widthPx, heightPx, REDUCED_CELLS);
  const sigma = greySigma(noise, beamGreyMean);
  return {
    kind: "flat-frame",
    greyMean: beamGreyMean,
    share: 1,
    saturated: false,
    map: framed,
    noise: attenuationNoise(noise, rule, beamGreyMean, reduced.mean),
    snr: noise.bins.length > 0 && sigma > 0 ? beamGreyMean / sigma : null,
    badPixels: framed.badPixels,
  };
}

/** Noise of a cell mean, as a share of the beam, above which cells are made coarser. */
const NOISY_SHARE = 0.012;
const COARSEST = 8;

function searchBackground(
  fine: ReducedPicture,
  rule: TransmissionRule,
  clip: ClipLevels,
  noise: GreyNoise,
): { readonly background: Background; readonly factorPx: number } {
  const [low, high] = cellQuantiles(fine.mean, [0.1, 0.9]);
  const beamGrey = rule.inverted ? low : high;
  const transmission = rule.inverted ? rule.topGrey - beamGrey : beamGrey;
  const sigma = greySigma(noise, beamGrey) * (1 + 2 * noise.neighbourCorrelation);
  const noisy = sigma / fine.factorPx / Math.max(transmission, rule.leastGrey);
  const { width, height, mean, factorPx } = coarser(fine, Math.min(COARSEST, Math.ceil(noisy / NOISY_SHARE)));
  const cells: Image = { width, height, data: rule.inverted ? mean.map((v) => rule.topGrey - v) : mean };
  const brightClip = rule.inverted ? clip.low : clip.high;
  let clipped: Mask | null = null;
  if (brightClip !== null) {
    clipped = createMask(width, height);
    // No sample lies beyond the clip level but for rare hot pixels, so a mean at it means all samples at it.
    const slack = 1e-5 * Math.abs(brightClip) + 1e-6;
    for (let i = 0; i < mean.length; i++) {
      clipped.data[i] = (rule.inverted ? mean[i] <= brightClip + slack : mean[i] >= brightClip - slack)
        ? 1
        : 0;
    }
  }
  const clipGrey = brightClip === null ? null : rule.inverted ? rule.topGrey - brightClip : brightClip;
  return { background: findBackground(cells, clipped, clipGrey, sigma / factorPx), factorPx };
}

function coarser(fine: ReducedPicture, times: number): ReducedPicture {
  if (times <= 1) return fine;
  const longSide = Math.ceil(Math.max(fine.width, fine.height) / times);
  const coarse = reducePicture(fine.mean, fine.width, fine.height, longSide);
  return { ...coarse, factorPx: coarse.factorPx * fine.factorPx };
}
