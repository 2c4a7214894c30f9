import type { MaterialName } from "../physics/material.ts";
import type { Random } from "../statistics/random.ts";
import type { Feature, OutlineMm, PointMm } from "./feature.ts";

/** What is meant to be inside a package. Dimensions are invented. */
export interface Construction {
  readonly id: string;
  /** Package family: a key of `packageFamilies`. */
  readonly family: string;
  /** Lead-frame shape: "A", "B" and so on; each family has at least two. */
  readonly variant: string;
  readonly frameMaterial: MaterialName;
  readonly frameThicknessMm: number;
  readonly bodyMm: readonly [length: number, width: number];
  readonly bodyThicknessMm: number;
  /** Die pad; null where there is none. */
  readonly padMm: readonly [length: number, width: number] | null;
  readonly dieMm: readonly [length: number, width: number, thickness: number] | null;
  /** A second die on the first, smaller by the room its wires need. */
  readonly stackedMm?: readonly [length: number, width: number, thickness: number];
  readonly wire: { readonly material: MaterialName; readonly diameterMm: number } | null;
  /** Pins with a bond wire; "all" for every pin with a lead tip. */
  readonly bonded: "all" | readonly number[];
}

/** A lead: where its wire lands, and where it ends outside. */
export interface LeadMm {
  readonly pin: number;
  /** Where a wire would land; null for a lead that is fused to the pad. */
  readonly tipMm: PointMm | null;
  readonly footMm: PointMm;
}

/** A package without its die and wires. */
export interface PackageModel {
  /** Lead frame, balls, end caps: what is not mould. */
  readonly frame: readonly Feature[];
  /** Mould or ceramic body, moved a little against the frame from part to part. */
  readonly body: readonly Feature[];
  /** Outer size with leads, mm. */
  readonly overallMm: readonly [length: number, width: number];
  readonly padOutlineMm: OutlineMm | null;
  readonly leads: readonly LeadMm[];
  /** Where the die belongs, and the height of its underside. */
  readonly dieCentreMm: PointMm;
  readonly dieZMm: number;
}

/** Builds one part's package; `random` gives the bends their spread. */
export type BuildPackage = (construction: Construction, random: Random) => PackageModel;
