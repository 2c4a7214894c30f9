import type { TransmissionRule } from "./attenuation.ts";
import { clipLevels } from "./clipping.ts";
import type { GreyHistogram } from "./grey-histogram.ts";
import { greyHistogram } from "./grey-histogram.ts";
import { greyStep } from "./grey-step.ts";
import { estimateGreyNoise } from "./noise.ts";
import { byFittedBeam, byFrames, REDUCED_CELLS } from "./open-beam.ts";
import type { Picture } from "./picture.ts";
import { pictureNotes } from "./picture-notes.ts";
import { findPolarity } from "./polarity.ts";
import type { Polarity, Radiograph, Scale } from "./radiograph.ts";
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
  /** What the pictures of its lot show together: taken instead of what this one shows, not against a person's word. */
  readonly lotPolarity?: Polarity["value"] | undefined;
  readonly scale?: Scale | undefined;
}

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
  const found = findPolarity(picture, reduced, noise);
  const polarity = decidePolarity(options, found);
  const rule = transmissionRule(histogram, step, polarity.value === "dense-is-bright");
  const beam =
    options.flat === undefined
      ? byFittedBeam(samples, picture, reduced, rule, clip, noise)
      : byFrames(samples, picture, options.flat, options.dark, rule, clip, step);
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
    attenuation: beam.map.attenuation,
    censored: beam.map.censored,
    noise: beam.noise,
    background: { kind: beam.kind, greyMean: beam.greyMean, share: beam.share },
    notes: [
      ...picture.notes,
      ...channelNotes,
      ...pictureNotes({ picture, step, polarity, found, rule, beam, scale: options.scale ?? noScale }),
    ],
  };
}

/** The surest word on polarity: the frames', a person's, the lot's, the picture's own. */
function decidePolarity({ flat, polarity, lotPolarity }: RadiographOptions, found: Polarity): Polarity {
  // A flat frame divides transmissions: with one, the picture is linear and dense is dark.
  if (flat !== undefined) {
    const because = polarity === undefined ? "metadata" : "person";
    return { value: "dense-is-dark", because, confidence: 1, evidence: 1 };
  }
  if (polarity !== undefined) {
    return {
      value: polarity,
      because: "person",
      confidence: 1,
      evidence: polarity === "dense-is-dark" ? 1 : -1,
    };
  }
  return lotPolarity === undefined ? found : { ...found, value: lotPolarity, because: "lot" };
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
