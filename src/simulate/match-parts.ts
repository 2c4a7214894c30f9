import type { PointPx } from "../numeric/image.ts";

/** Where the truth says that a part is. */
export interface TruePlace {
  readonly body_corners_px: readonly PointPx[];
  readonly cut_by_edge?: boolean;
}

/** A picture of the truth. */
export interface TruePicture<T extends TruePlace> {
  readonly file: string;
  readonly pixel_mm: number;
  readonly parts: readonly T[];
}

/** Where an inspection says that a part is. */
export interface SaidPlace {
  /** Name of the picture, with or without folders. */
  readonly picture: string;
  readonly cornersPx: readonly PointPx[];
}

/** A part of the truth with what was found for it. */
export interface PartMatch<T, F> {
  readonly truth: T;
  readonly file: string;
  readonly mmPerPx: number;
  readonly found: F | null;
}

/** The middle of some corners. */
export function centreOf(corners: readonly PointPx[]): PointPx {
  return [
    corners.reduce((sum, [x]) => sum + x, 0) / corners.length,
    corners.reduce((sum, [, y]) => sum + y, 0) / corners.length,
  ];
}

/** Sides 0-1 and 1-2 of a rectangle given by its corners. */
export function sidesOf([a, b, c]: readonly PointPx[]): readonly [first: number, second: number] {
  return [apart(a, b), apart(b, c)];
}

/**
 * Which found part is which true one. Nearest first: a found part belongs to the true part of its picture whose
 * body centre lies within a quarter of its short side (of a part cut by the edge: half its long side, as only a
 * piece of it is seen).
 *
 * @returns one match for each true part, and the found parts that belong to none
 */
export function matchParts<T extends TruePlace, F extends SaidPlace>(
  pictures: readonly TruePicture<T>[],
  parts: readonly F[],
): { matches: PartMatch<T, F>[]; spurious: F[] } {
  const all = pictures.flatMap(({ file, pixel_mm, parts: own }) =>
    own.map((truth) => ({ truth, file, mmPerPx: pixel_mm })),
  );
  const pairs: { t: number; part: F; distance: number }[] = [];
  all.forEach(({ truth, file }, t) => {
    const sides = sidesOf(truth.body_corners_px);
    const near = truth.cut_by_edge ? Math.max(...sides) / 2 : Math.min(...sides) / 4;
    for (const part of parts) {
      if (fileName(part.picture) !== file) continue;
      const distance = apart(centreOf(truth.body_corners_px), centreOf(part.cornersPx));
      if (distance < near) pairs.push({ t, part, distance });
    }
  });
  const found = new Map<number, F>();
  const taken = new Set<F>();
  for (const { t, part } of pairs.sort((p, q) => p.distance - q.distance)) {
    if (found.has(t) || taken.has(part)) continue;
    found.set(t, part);
    taken.add(part);
  }
  return {
    matches: all.map((one, t) => ({ ...one, found: found.get(t) ?? null })),
    spurious: parts.filter((part) => !taken.has(part)),
  };
}

function apart(a: PointPx, b: PointPx): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1]);
}

function fileName(path: string): string {
  return path.slice(Math.max(path.lastIndexOf("/"), path.lastIndexOf("\\")) + 1);
}
