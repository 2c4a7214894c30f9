import type { GreyNoise } from "./noise.ts";
import type { Picture } from "./picture.ts";
import { polarityCues } from "./polarity-cues.ts";
import type { Polarity } from "./radiograph.ts";
import type { ReducedPicture } from "./reduced-picture.ts";

/** Weight of each cue in the sum. */
const WEIGHT = {
  background: 1,
  /** Linear detector data: photon noise is the surest witness. */
  noise: 1.5,
  /** 8-bit or lossy data went through a display curve, which bends noise. */
  noiseOfDisplayData: 0.2,
  tail: 0.25,
  /** "min-is-white" says how to show the samples; shown densest-darkest, larger samples are denser. */
  metadata: 0.15,
} as const;

/** Below this sum the picture doesn't say. */
const UNDECIDED = 0.12;

/**
 * Which way grey runs, from the file's word (a weak hint: it says how to display) and from what the
 * picture shows. A person's word overrides both.
 */
export function findPolarity(
  picture: Pick<Picture, "photometric" | "bits" | "lossy">,
  reduced: ReducedPicture,
  noise: GreyNoise,
): Polarity {
  const cues = polarityCues(reduced, noise);
  const noiseWeight = picture.bits <= 8 || picture.lossy ? WEIGHT.noiseOfDisplayData : WEIGHT.noise;
  const parts = {
    background: WEIGHT.background * cues.background + WEIGHT.tail * cues.tail,
    noise: noiseWeight * cues.noise,
    metadata: picture.photometric === "min-is-white" ? -WEIGHT.metadata : 0,
  };
  const sum = parts.background + parts.noise + parts.metadata;
  const evidence = Math.max(-1, Math.min(1, sum));
  const confidence = Math.abs(evidence);
  const value = polarityFromEvidence(evidence);
  if (value === "unknown") return { value, because: "undecided", confidence, evidence };
  const sign = Math.sign(sum);
  let because: "background" | "noise" | "metadata" = "background";
  if (sign * parts.noise > sign * parts.background) because = "noise";
  if (sign * parts.metadata > Math.max(sign * parts.noise, sign * parts.background)) because = "metadata";
  return { value, because, confidence, evidence };
}

/** What evidence between -1 and 1 amounts to. */
export function polarityFromEvidence(evidence: number): Polarity["value"] {
  if (Math.abs(evidence) < UNDECIDED) return "unknown";
  return evidence > 0 ? "dense-is-dark" : "dense-is-bright";
}
