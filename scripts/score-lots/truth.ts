import { readFileSync } from "node:fs";
import path from "node:path";
import type { LotDocumentPart } from "../../src/contract/lot-document.ts";
import type { PartMatch } from "../../src/simulate/match-parts.ts";

export type Point = readonly [x: number, y: number];

/** A bond wire of the truth, from the die to its lead. */
export interface TrueWire {
  readonly pin: number;
  readonly status: "present" | "absent" | "broken" | "elsewhere";
  readonly start_px: Point;
  readonly end_px: Point;
}

/** What is read of a part's truth. `mirrored`, `cut_by_edge` and `faults` may be left out. */
export interface TruePart {
  readonly id: string;
  readonly construction: string;
  readonly cut_by_edge?: boolean;
  readonly mirrored?: boolean;
  readonly rotation_deg: number;
  readonly faults?: readonly { readonly kind: string }[];
  readonly body_corners_px: readonly Point[];
  readonly wires?: readonly TrueWire[];
  readonly leads?: readonly { readonly pin: number; readonly tip_px: Point | null }[];
  readonly die: { readonly present: boolean; readonly corners_px?: readonly Point[] };
}

export interface Truth {
  readonly constructions: Readonly<
    Record<
      string,
      {
        readonly body_thickness_mm?: number;
        readonly wire_diameter_mm?: number | null;
      }
    >
  >;
  readonly relative_contrast_over_mould: { readonly wire: number | null };
  readonly expected: {
    readonly suspect_parts: readonly string[];
    readonly groups: Readonly<Record<string, readonly string[]>>;
    readonly number_of_constructions: number;
  };
  readonly images: readonly {
    readonly file: string;
    readonly pixel_mm: number;
    readonly kv: number;
    readonly filter_mm: Readonly<Record<string, number>>;
    readonly detector: Readonly<Record<string, unknown>>;
    readonly parts: readonly TruePart[];
  }[];
}

/** A part of the truth with what was found for it. */
export type Match = PartMatch<TruePart, LotDocumentPart>;

/** The truth beside the pictures of a folder. */
export function readTruth(folder: string): Truth {
  return JSON.parse(readFileSync(path.join(folder, "truth.json"), "utf8"));
}

export const distance = (a: Point, b: Point): number => Math.hypot(a[0] - b[0], a[1] - b[1]);
