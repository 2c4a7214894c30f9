import type { TransmissionRule } from "./attenuation.ts";
import type { BeamResult } from "./open-beam.ts";
import type { Picture } from "./picture.ts";
import type { Polarity, Scale } from "./radiograph.ts";
import { screenGrabLevels } from "./screen-grab.ts";

/** Signal-to-noise ratio of the open beam below which a picture counts as under-exposed. Common practice. */
const LEAST_SNR = 30;

/** What an inspector should know about a picture before trusting numbers from it, one sentence each. */
export function pictureNotes(of: {
  readonly picture: Picture;
  readonly step: number;
  readonly polarity: Polarity;
  /** What the picture itself shows, whatever was decided. */
  readonly found: Polarity;
  readonly rule: TransmissionRule;
  readonly beam: BeamResult;
  readonly scale: Scale;
}): string[] {
  const { picture, step, polarity, found, rule, beam, scale } = of;
  const notes: string[] = [];
  if (picture.lossy)
    notes.push("Lossy coding (JPEG): small differences may come from the coding, not from the part.");
  if (picture.bits <= 8)
    notes.push("8-bit picture: it may have passed a display curve, so attenuation is relative only.");
  if (screenGrabLevels(picture) >= 2) {
    notes.push(
      "Areas of exactly one grey, as in a screen grab: marks and frames drawn on it are taken for structure.",
    );
  }
  if (step > 1)
    notes.push(
      `Grey runs in steps of ${step}: noise is taken as at least ${(step / Math.sqrt(12)).toPrecision(2)}.`,
    );
  if (polarity.value === "unknown") notes.push("Polarity undecided: taken as dense is dark.");
  if (polarity.because === "lot") notes.push("Polarity as the pictures of its lot show it together.");
  if (polarity.value === "dense-is-bright") {
    notes.push(`Dense is bright: counted down from ${rule.topGrey}, so attenuation is relative only.`);
  }
  const contradicted = found.value !== "unknown" && found.value !== polarity.value && found.confidence > 0.5;
  if (contradicted)
    notes.push(`The picture looks as if ${found.value.replaceAll("-", " ")}, against what was given.`);
  if (beam.map.saturatedShare > 0) {
    notes.push(
      `${percent(beam.map.saturatedShare)} of the pixels are saturated: there attenuation is at most the value given.`,
    );
  }
  if (beam.map.floorShare > 0) {
    notes.push(
      `${percent(beam.map.floorShare)} of the pixels are at the floor: there attenuation is at least the value given.`,
    );
  }
  if (beam.badPixels > 0) {
    notes.push(
      `${beam.badPixels} bad pixels (dead or hot in the frames) hold their neighbours' mean and count for nothing.`,
    );
  }
  if (beam.saturated) {
    notes.push(
      "The open beam is saturated: I0 is taken as the clip level, so attenuation has an unknown offset.",
    );
  }
  if (beam.kind === "none") {
    notes.push(
      "No open beam found: I0 is a constant near the brightest grey, so attenuation has an unknown offset.",
    );
  }
  if (!beam.saturated && beam.snr !== null && beam.snr < LEAST_SNR) {
    notes.push(`Under-exposed: signal-to-noise ratio of the open beam is ${beam.snr.toPrecision(2)}.`);
  }
  const tag = picture.taggedPitch;
  if (tag !== undefined && scale.umPerPx === null) {
    const square = tag.umPerPxX === tag.umPerPxY;
    const pitch = square
      ? tag.umPerPxX.toPrecision(4)
      : `${tag.umPerPxX.toPrecision(4)} x ${tag.umPerPxY.toPrecision(4)}`;
    notes.push(`The file's resolution tag says ${pitch} um per px (${tag.source}); not used as a scale.`);
  }
  return notes;
}

function percent(share: number): string {
  const value = 100 * share;
  return `${value < 0.1 ? value.toPrecision(1) : value.toFixed(1)} %`;
}
