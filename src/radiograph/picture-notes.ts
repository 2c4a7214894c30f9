import type { AttenuationMap, TransmissionRule } from "./attenuation.ts";
import type { Background } from "./background.ts";
import type { ClipLevels } from "./clipping.ts";
import type { GreyNoise } from "./noise.ts";
import { greySigma } from "./noise.ts";
import type { Picture } from "./picture.ts";
import type { Polarity, Scale } from "./radiograph.ts";

/** Signal-to-noise ratio of the open beam below which a picture counts as under-exposed. Common practice. */
const LEAST_SNR = 30;

/** What an inspector should know about a picture before trusting numbers from it, one sentence each. */
export function pictureNotes(of: {
  readonly picture: Picture;
  readonly clip: ClipLevels;
  readonly noise: GreyNoise;
  readonly step: number;
  readonly polarity: Polarity;
  readonly background: Background | null;
  readonly map: AttenuationMap;
  readonly meanGrey: number;
  readonly rule: TransmissionRule;
  readonly options: { readonly scale?: Scale | undefined };
}): string[] {
  const { picture, noise, step, polarity, background, map, meanGrey, rule } = of;
  const notes: string[] = [];
  if (picture.lossy)
    notes.push("Lossy coding (JPEG): small differences may come from the coding, not from the part.");
  if (picture.bits <= 8)
    notes.push("8-bit picture: it may have passed a display curve, so attenuation is relative only.");
  if (step > 1)
    notes.push(
      `Grey runs in steps of ${step}: noise is taken as at least ${(step / Math.sqrt(12)).toPrecision(2)}.`,
    );
  if (polarity.value === "unknown") notes.push("Polarity undecided: taken as dense is dark.");
  if (polarity.value === "dense-is-bright") {
    notes.push(`Dense is bright: counted down from ${rule.topGrey}, so attenuation is relative only.`);
  }
  if (map.saturatedShare > 0) {
    notes.push(
      `${percent(map.saturatedShare)} of the pixels are saturated: there attenuation is at most the value given.`,
    );
  }
  if (map.floorShare > 0) {
    notes.push(
      `${percent(map.floorShare)} of the pixels are at the floor: there attenuation is at least the value given.`,
    );
  }
  if (background?.saturated === true) {
    notes.push(
      "The open beam is saturated: I0 is taken as the clip level, so attenuation has an unknown offset.",
    );
  }
  if (background?.kind === "none") {
    notes.push(
      "No open beam found: I0 is a constant near the brightest grey, so attenuation has an unknown offset.",
    );
  }
  const beam = rule.inverted ? rule.topGrey - meanGrey : meanGrey;
  const sigma = greySigma(noise, beam);
  if (sigma > 0 && background?.saturated !== true && noise.bins.length > 0 && meanGrey / sigma < LEAST_SNR) {
    notes.push(
      `Under-exposed: signal-to-noise ratio of the open beam is ${(meanGrey / sigma).toPrecision(2)}.`,
    );
  }
  const tag = picture.taggedPitch;
  if (tag !== undefined && of.options.scale?.umPerPx == null) {
    const pitch =
      tag.umPerPxX === tag.umPerPxY
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
