import type { Samples } from "./picture.ts";

/** Which way grey runs. `dense-is-dark`: more transmission = larger value, as in a linear detector. */
export interface Polarity {
  readonly value: "dense-is-dark" | "dense-is-bright" | "unknown";
  /** Where the answer came from. */
  readonly because: "metadata" | "noise" | "background" | "person" | "lot" | "undecided";
  /** 0..1: how far the evidence goes. */
  readonly confidence: number;
  /** The picture's own evidence, or a person's word: -1 (dense is bright) over 0 (says nothing) to 1 (dense is dark). */
  readonly evidence: number;
}

/** Object-plane scale and where it came from. */
export type Scale =
  | {
      readonly umPerPx: number;
      /** Expanded uncertainty (k = 2) in um per px; null when it was typed without one. */
      readonly U: number | null;
      readonly origin: "reference-length" | "technique-geometry" | "calibrated-tag" | "typed";
    }
  | { readonly umPerPx: null; readonly U: null; readonly origin: "none" };

/** A radiograph ready for inspection: single channel, its defects and doubts known, original values untouched. */
export interface Radiograph {
  /** The name the inspector gave: usually the path as typed or listed. */
  readonly picture: string;
  readonly sha256: string;
  readonly format: string;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Samples as stored, row-major, one channel. */
  readonly samples: Samples;
  readonly bits: number;
  readonly lossy: boolean;
  readonly polarity: Polarity;
  readonly scale: Scale;
  /** Smallest grey step the samples really use (8 for a 9-bit digitiser in the top of 12 bits). */
  readonly greyStep: number;
  /** Stored value at and beyond which the detector (or the file) clips on the bright-beam side; null if nothing clips. */
  readonly clip: { readonly low: number | null; readonly high: number | null };
  /**
   * Attenuation -ln(I / I0), Float32, row-major. Larger is denser, whatever the polarity.
   * Censored pixels hold the bound: see `censored`.
   */
  readonly attenuation: Float32Array;
  /** 0 measured; 1 saturated, true attenuation <= value; 2 floor-clipped, true attenuation >= value; 3 no value (dead). */
  readonly censored: Uint8Array;
  /** Standard deviation of attenuation noise as a function of attenuation: sigma = sqrt(a + b * exp(attenuation)), fitted. */
  readonly noise: { readonly a: number; readonly b: number };
  /** How I0 was found. */
  readonly background: {
    readonly kind: "flat-frame" | "fitted" | "none";
    readonly greyMean: number;
    readonly share: number;
  };
  readonly notes: readonly string[];
}
