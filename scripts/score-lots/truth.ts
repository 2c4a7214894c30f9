import { readFileSync } from "node:fs";
import path from "node:path";
import type { LotDocumentPart } from "../../src/contract/lot-document.ts";

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
  readonly die: { readonly present: boolean; readonly corners_px?: readonly Point[] };
}

export interface Truth {
  readonly expected: {
    readonly suspect_parts: readonly string[];
    readonly groups: Readonly<Record<string, readonly string[]>>;
    readonly number_of_constructions: number;
  };
  readonly images: readonly {
    readonly file: string;
    readonly pixel_mm: number;
    readonly parts: readonly TruePart[];
  }[];
}

/** A part of the truth with what was found for it. */
export interface Match {
  readonly truth: TruePart;
  readonly mmPerPx: number;
  readonly found: LotDocumentPart | null;
}

/** The truth beside the pictures of a folder. */
export function readTruth(folder: string): Truth {
  return JSON.parse(readFileSync(path.join(folder, "truth.json"), "utf8"));
}

export const distance = (a: Point, b: Point): number => Math.hypot(a[0] - b[0], a[1] - b[1]);
export const centre = (corners: readonly Point[]): Point => [
  corners.reduce((sum, [x]) => sum + x, 0) / corners.length,
  corners.reduce((sum, [, y]) => sum + y, 0) / corners.length,
];

/** Sides 0-1 and 1-2 of a rectangle given by its corners. */
export function sides(corners: readonly Point[]): readonly [first: number, second: number] {
  const [a, b, c] = corners as readonly [Point, Point, Point];
  return [distance(a, b), distance(b, c)];
}

/** Nearest first: a found part belongs to the true part whose body centre lies within a quarter of its short side. */
export function matchParts(truth: Truth, parts: readonly LotDocumentPart[]) {
  const pairs: { t: number; f: LotDocumentPart; apart: number }[] = [];
  const all = truth.images.flatMap((image) =>
    image.parts.map((part) => ({ truth: part, mmPerPx: image.pixel_mm, file: image.file })),
  );
  all.forEach(({ truth: part, file }, t) => {
    for (const f of parts) {
      if (path.basename(f.picture) !== file) continue;
      const apart = distance(centre(part.body_corners_px), centre(f.cornersPx));
      // Of a cut part only a piece is in the picture: its centre lies elsewhere in the body.
      const near = part.cut_by_edge
        ? Math.max(...sides(part.body_corners_px)) / 2
        : Math.min(...sides(part.body_corners_px)) / 4;
      if (apart < near) pairs.push({ t, f, apart });
    }
  });
  const found = new Map<number, LotDocumentPart>();
  const taken = new Set<LotDocumentPart>();
  for (const { t, f } of pairs.sort((p, q) => p.apart - q.apart)) {
    if (found.has(t) || taken.has(f)) continue;
    found.set(t, f);
    taken.add(f);
  }
  const matches: Match[] = all.map(({ truth: part, mmPerPx }, t) => ({
    truth: part,
    mmPerPx,
    found: found.get(t) ?? null,
  }));
  return { matches, spurious: parts.filter((f) => !taken.has(f)) };
}
