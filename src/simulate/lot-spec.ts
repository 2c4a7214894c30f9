import type { MaterialName } from "../physics/material.ts";
import type { FilterMm } from "../physics/spectrum.ts";
import type { Construction } from "./construction.ts";
import type { DetectorSpec } from "./detector.ts";
import type { BuildSpread } from "./die-stack.ts";

/** Something wrong, or merely odd, with one part. */
export type PartFault =
  | { readonly kind: "die-absent"; readonly attach: "left" | "none" }
  | { readonly kind: "wire-absent" | "wire-broken" | "wire-elsewhere"; readonly pin: number | "any" }
  | { readonly kind: "foreign"; readonly diameterMm: number; readonly material: MaterialName }
  | { readonly kind: "void"; readonly diameterMm: number }
  | { readonly kind: "empty-mould" }
  | { readonly kind: "die-turned-90" }
  | { readonly kind: "mirrored" }
  | { readonly kind: "scale"; readonly factor: number }
  | { readonly kind: "turned"; readonly turnDeg: number }
  /** Tilted about an axis of chance by 0.4 to 1 of this. */
  | { readonly kind: "tilted"; readonly upToDeg: number };

/** Faults that are only a matter of how the part lies: no reason to suspect it. */
export const PLACEMENT_FAULTS: ReadonlySet<PartFault["kind"]> = new Set([
  "mirrored",
  "scale",
  "turned",
  "tilted",
]);

/** How parts lie in a picture. Lengths mm in the object plane. */
export type LayoutSpec =
  | { readonly kind: "single"; readonly widthPx: number; readonly heightPx: number }
  | {
      readonly kind: "tray";
      readonly rows: number;
      readonly columns: number;
      /** Between the outer boxes of neighbours; 0: touching. */
      readonly gapMm: number;
      readonly marginMm: number;
      readonly walls: boolean;
      /** Moves the picture over the tray: parts at its edge are cut. */
      readonly offsetMm: readonly [x: number, y: number];
    }
  | {
      readonly kind: "tape";
      readonly columns: number;
      /** Quarter turns of the parts in their pockets. */
      readonly quarters: number;
    };

/** How far placement varies from part to part. */
export interface PlacementSpec {
  /** Standard deviations. */
  readonly shiftMm: number;
  readonly turnSpreadDeg: number;
  /** Turns to choose from, or any angle. */
  readonly turnsDeg: readonly number[] | "any";
  readonly mirroredShare: number;
  readonly scaleSpread: number;
  readonly tiltSpreadDeg: number;
  /** Body against lead frame, moulding. */
  readonly bodyShiftMm: number;
  readonly bodyTurnDeg: number;
}

/** One setting of tube and detector. */
export interface ExposureSpec {
  readonly kv: number;
  readonly filterMm: FilterMm;
  readonly detector: DetectorSpec;
}

/** A lot to simulate. */
export interface LotSpec {
  readonly name: string;
  readonly description: string;
  readonly constructions: readonly { readonly construction: Construction; readonly count: number }[];
  /** Faults, each given to `count` whole parts of the first construction, no part twice. */
  readonly faults: readonly { readonly fault: PartFault; readonly count: number }[];
  /** A group no larger than this share of at least 8 parts is suspect. */
  readonly minorityShare: number;
  readonly layout: LayoutSpec;
  readonly mmPerPx: number;
  /** Focal spot to parts for central projection; null: parallel rays. */
  readonly sourceDistanceMm: number | null;
  /** Given to pictures at random in equal numbers. */
  readonly exposures: readonly ExposureSpec[];
  readonly placement: PlacementSpec;
  readonly spread: BuildSpread;
  /** Dust specks per picture, mean. */
  readonly dust: number;
}
