import type { PointPx } from "../src/numeric/image.ts";

/** What a truth.json says of one part. */
export interface TruthPart {
  readonly file: string;
  readonly centrePx: PointPx;
  readonly suspect: boolean;
}

interface TruthFile {
  readonly images: readonly {
    readonly file: string;
    readonly parts: readonly {
      readonly body_corners_px: readonly (readonly number[])[];
      readonly suspect: boolean;
    }[];
  }[];
}

/** The parts of a simulated lot, with the middle of their bodies. */
export function truthParts(text: string): TruthPart[] {
  return (JSON.parse(text) as TruthFile).images.flatMap(({ file, parts }) =>
    parts.map(({ body_corners_px: corners, suspect }) => ({
      file,
      centrePx: [middle(corners, 0), middle(corners, 1)] as const,
      suspect,
    })),
  );
}

function middle(corners: readonly (readonly number[])[], axis: 0 | 1): number {
  return corners.reduce((sum, corner) => sum + corner[axis], 0) / corners.length;
}
