import type { Image, Mask } from "../numeric/image.ts";
import { createMask } from "../numeric/image.ts";
import type { AttenuationMap, TransmissionRule } from "./attenuation.ts";
import { attenuationFromBackground } from "./attenuation.ts";
import { attenuationNoise } from "./attenuation-noise.ts";
import type { Background } from "./background.ts";
import { findBackground } from "./background.ts";
import { cellQuantiles } from "./cell-quantiles.ts";
import type { ClipLevels } from "./clipping.ts";
import { clipLevels } from "./clipping.ts";
import { attenuationFromFrames } from "./flat-field.ts";
import type { GreyHistogram } from "./grey-histogram.ts";
import { greyHistogram } from "./grey-histogram.ts";
import { greyStep } from "./grey-step.ts";
import type { GreyNoise } from "./noise.ts";
import { estimateGreyNoise, greySigma } from "./noise.ts";
import type { Picture } from "./picture.ts";
import { pictureNotes } from "./picture-notes.ts";
import { findPolarity } from "./polarity.ts";
import type { Polarity, Radiograph, Scale } from "./radiograph.ts";
import type { ReducedPicture } from "./reduced-picture.ts";
import { reducePicture } from "./reduced-picture.ts";
import { refuseUnmeasurable, refuseUnstructured } from "./refusals.ts";
import { noScale } from "./scale.ts";
import { singleChannel } from "./single-channel.ts";

export interface RadiographOptions {
  /** Path as typed or listed; how results name the picture. */
  readonly name: string;
  /** SHA-256 of the file, hex. */
  readonly sha256: string;
  /** Open-beam frame taken with the same settings; needs the same size. */
  readonly flat?: Picture | undefined;
  /** Frame with the beam off. */
  readonly dark?: Picture | undefined;
  /** A person's word, which overrides what the picture shows. */
  readonly polarity?: "dense-is-dark" | "dense-is-bright" | undefined;
  readonly scale?: Scale | undefined;
}

/** Longer side of the reduced picture, cells: enough for gaps between parts, cheap to search. */
const REDUCED_CELLS = 400;

/**
 * Makes a radiograph of a picture: one channel, polarity, grey step, clip levels, noise, open beam
 * and attenuation, each with where it came from. The picture itself is left as it was.
 *
 * @throws NotAMeasuringPictureError when nothing could be measured on it (colour, palette, constant,
 *   wholly saturated, beam off, too small)
 * @throws CalibrationFrameError when a flat or dark frame doesn't fit the picture
 * @see docs/methods/attenuation.md
 */
export function toRadiograph(picture: Picture, options: RadiographOptions): Radiograph {
  const { widthPx, heightPx } = picture;
  const { samples, notes: channelNotes } = singleChannel(picture);
  const histogram = greyHistogram(samples);
  const step = greyStep(histogram);
  const clip = clipLevels(histogram, step);
  refuseUnmeasurable(picture, histogram, clip);
  const noise = estimateGreyNoise(samples, widthPx, heightPx, clip, step);
  const reduced = reducePicture(samples, widthPx, heightPx, REDUCED_CELLS);
  refuseUnstructured(picture, histogram, noise, reduced);
  const polarity = choosePolarity(picture, options, reduced, noise);
  const inverted = polarity.value === "dense-is-bright";
  const rule = transmissionRule(histogram, step, inverted);
  const base = { picture, samples, clip, noise, step, histogram };

  let map: AttenuationMap;
  let background: Background | null = null;
  let meanGrey: number;
  if (options.flat !== undefined) {
    const framed = attenuationFromFrames(samples, widthPx, heightPx, options.flat, options.dark, clip);
    map = framed;
    meanGrey = framed.beamGreyMean;
  } else {
    background = searchBackground(reduced, rule, clip, noise);
    map = attenuationFromBackground(samples, widthPx, heightPx, rule, clip, background, reduced.factorPx);
    meanGrey = background.greyMean;
  }
  return {
    picture: options.name,
    sha256: options.sha256,
    format: picture.format,
    widthPx,
    heightPx,
    samples,
    bits: picture.bits,
    lossy: picture.lossy,
    polarity,
    scale: options.scale ?? noScale,
    greyStep: step,
    clip,
    attenuation: map.attenuation,
    censored: map.censored,
    noise: attenuationNoise(noise, rule, meanGrey, reduced.mean),
    background:
      background === null
        ? { kind: "flat-frame", greyMean: meanGrey, share: 1 }
        : { kind: background.kind, greyMean: background.greyMean, share: background.share },
    notes: [
      ...picture.notes,
      ...channelNotes,
      ...pictureNotes({ ...base, polarity, background, map, meanGrey, rule, options }),
    ],
  };
}

function choosePolarity(
  picture: Picture,
  options: RadiographOptions,
  reduced: ReducedPicture,
  noise: GreyNoise,
): Polarity {
  if (options.polarity !== undefined) return { value: options.polarity, because: "person", confidence: 1 };
  return findPolarity(picture, reduced, noise);
}

/**
 * Stored grey as transmission. An inverted picture is counted down from the nearest converter ceiling
 * (255, 1023, 4095, 16383, 65535) at or above its greatest sample, the value inverting usually used;
 * fractional data from a little above their greatest sample.
 */
function transmissionRule(histogram: GreyHistogram, step: number, inverted: boolean): TransmissionRule {
  const { maxGrey, minGrey } = histogram;
  const range = maxGrey - minGrey;
  const leastGrey = step > 0 ? step / 2 : range * 1e-6;
  const ceiling = [255, 1023, 4095, 16383, 65535].find((c) => c >= maxGrey);
  const topGrey = histogram.exact && minGrey >= 0 && ceiling !== undefined ? ceiling : maxGrey + 0.01 * range;
  return { inverted, topGrey, leastGrey };
}

function searchBackground(
  reduced: ReducedPicture,
  rule: TransmissionRule,
  clip: ClipLevels,
  noise: GreyNoise,
): Background {
  const { width, height, mean, min, max, factorPx } = reduced;
  const cells: Image = { width, height, data: rule.inverted ? mean.map((v) => rule.topGrey - v) : mean };
  const brightClip = rule.inverted ? clip.low : clip.high;
  let clipped: Mask | null = null;
  if (brightClip !== null) {
    clipped = createMask(width, height);
    for (let i = 0; i < mean.length; i++) {
      clipped.data[i] = (rule.inverted ? max[i] <= brightClip : min[i] >= brightClip) ? 1 : 0;
    }
  }
  const clipGrey = brightClip === null ? null : rule.inverted ? rule.topGrey - brightClip : brightClip;
  const [middle] = cellQuantiles(mean, [0.5]);
  const spread = 1 + 2 * noise.neighbourCorrelation;
  return findBackground(cells, clipped, clipGrey, (greySigma(noise, middle) * spread) / factorPx);
}
