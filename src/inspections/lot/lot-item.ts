import type { Radiograph } from "../../radiograph/radiograph.ts";
import type { Patch } from "./finding/patch.ts";
import type { AlignedPart } from "./placing/align-lot.ts";

/** What is kept of a picture once its parts have been cut out. */
export type PictureFacts = Pick<
  Radiograph,
  | "picture"
  | "sha256"
  | "widthPx"
  | "heightPx"
  | "polarity"
  | "scale"
  | "background"
  | "bits"
  | "lossy"
  | "notes"
> & {
  /** Standard deviation of attenuation noise in open field. */
  readonly openNoise: number;
};

/** One part of the lot on its way through the method. */
export interface LotItem {
  readonly id: string;
  readonly picture: PictureFacts;
  readonly patch: Patch;
}

/** A part brought into the lot's frame. */
export interface PlacedItem extends LotItem {
  readonly aligned: AlignedPart;
}
