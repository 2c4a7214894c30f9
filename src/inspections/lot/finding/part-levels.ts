import { labelComponents } from "../../../numeric/components.ts";
import { minimumAreaRectangle } from "../../../numeric/hull-rectangle.ts";
import type { BoxPx, Image, Mask, PointPx } from "../../../numeric/image.ts";
import { fillHoles } from "../../../numeric/morphology.ts";
import { median, quantile } from "../../../numeric/order.ts";
import { solidComponents } from "../../../numeric/solid-components.ts";
import { stepsPassed } from "../../../numeric/steps-passed.ts";

/** One connected piece denser than a level, in the reduced picture. */
export interface Piece {
  readonly label: number;
  /** Pixels denser than the level. */
  readonly areaPx: number;
  /** The same with enclosed holes filled. */
  readonly filledPx: number;
  readonly boxPx: BoxPx;
  readonly centroidPx: PointPx;
  readonly touchesBorder: boolean;
}

/** The picture cut at one attenuation level. */
export interface LevelCut {
  readonly level: number;
  readonly mask: Mask;
  /** Labels of the hole-filled mask. */
  readonly labels: Int32Array;
  readonly pieces: readonly Piece[];
  /** Pieces of about the same size that do not touch the border. */
  readonly units: readonly Piece[];
  readonly unitAreaPx: number;
}

/** A range of levels over which the same pieces stand out: a candidate for "this is where the parts end". */
export interface Plateau {
  readonly from: number;
  readonly to: number;
  readonly count: number;
  readonly unitAreaPx: number;
  /** Median share of a unit's outline that is denser than the level. */
  readonly solidity: number;
  /** Median share of a unit's smallest rectangle that it fills. */
  readonly rectangularity: number;
  /** The units touch each other and were taken apart. */
  readonly touching?: boolean;
}

const levelCount = 28;
const sameSize = 1.67;

/** Cuts the (reduced) attenuation picture at one level. */
export function cutAtLevel(attenuation: Image, level: number): LevelCut {
  const { width, height, data } = attenuation;
  const over = new Uint8Array(width * height);
  for (let i = 0; i < data.length; i++) over[i] = (data[i] as number) > level ? 1 : 0;
  const mask: Mask = { width, height, data: over };
  const { labels, components } = labelComponents(fillHoles(mask), 8);
  const solid = new Int32Array(components.length + 1);
  for (let i = 0; i < over.length; i++) {
    const label = labels[i] as number;
    solid[label] = (solid[label] as number) + (over[i] as number);
  }
  const pieces = components.map((c) => ({
    label: c.label,
    areaPx: solid[c.label] as number,
    filledPx: c.areaPx,
    boxPx: c.boxPx,
    centroidPx: c.centroidPx,
    touchesBorder: c.touchesBorder,
  }));
  return { level, mask, labels, pieces, ...unitsAmong(pieces) };
}

/** The pieces that are one part each: free of the border and of about the size of the larger ones. */
function unitsAmong<T extends Pick<Piece, "filledPx" | "touchesBorder">>(pieces: readonly T[]) {
  const free = pieces.filter((p) => !p.touchesBorder);
  const largest = free.reduce((m, p) => Math.max(m, p.filledPx), 0);
  const candidates = free.filter((p) => p.filledPx >= 0.25 * largest);
  const unitAreaPx = candidates.length ? median(candidates.map((p) => p.filledPx)) : 0;
  const units = free.filter(
    (p) => p.filledPx >= unitAreaPx / sameSize && p.filledPx <= unitAreaPx * sameSize,
  );
  return { units, unitAreaPx };
}

/** How many pieces stand out at a level, and how large. */
interface UnitsAtLevel {
  readonly level: number;
  readonly count: number;
  readonly unitAreaPx: number;
}

/** What `cutAtLevel` counts at each of rising levels, without drawing the pieces. */
function unitsAtLevels({ width, height, data }: Image, levels: readonly number[]): UnitsAtLevel[] {
  const above = { width, height, data: stepsPassed(data, levels) };
  return levels.map((level, k) => {
    const { units, unitAreaPx } = unitsAmong(
      solidComponents(above, k + 1).map((c) => ({ filledPx: c.areaPx, touchesBorder: c.touchesBorder })),
    );
    return { level, count: units.length, unitAreaPx };
  });
}

/**
 * Levels over which the same number of same-sized pieces stand out, from the most transparent upwards.
 *
 * @param attenuation reduced picture
 * @param noise standard deviation of its noise in open field
 */
export function findPlateaus(attenuation: Image, noise: number): Plateau[] {
  const top = quantile(attenuation.data, 0.985);
  const floor = Math.max(6 * noise, 0.004);
  if (!(top > 1.5 * floor)) return [];
  const ratio = (top / floor) ** (1 / levelCount);
  const cuts = unitsAtLevels(
    attenuation,
    Array.from({ length: levelCount }, (_, k) => floor * ratio ** k),
  );
  const plateaus: Plateau[] = [];
  let first = 0;
  for (let k = 1; k <= cuts.length; k++) {
    const before = cuts[k - 1] as UnitsAtLevel;
    const here = cuts[k];
    if (here && continues(before, here)) continue;
    const run = cuts.slice(first, k).filter((c) => c.count > 0);
    if (run.length > 1) plateaus.push(describePlateau(attenuation, run));
    first = k;
  }
  return plateaus;
}

function continues(before: UnitsAtLevel, here: UnitsAtLevel): boolean {
  if (!before.count || !here.count) return false;
  const sameCount = Math.abs(before.count - here.count) <= 0.1 * before.count;
  return sameCount && Math.abs(Math.log(here.unitAreaPx / before.unitAreaPx)) < 0.1;
}

function describePlateau(attenuation: Image, run: readonly UnitsAtLevel[]): Plateau {
  const middle = cutAtLevel(attenuation, (run[run.length >> 1] as UnitsAtLevel).level);
  return {
    from: (run[0] as UnitsAtLevel).level,
    to: (run[run.length - 1] as UnitsAtLevel).level,
    count: middle.units.length,
    unitAreaPx: middle.unitAreaPx,
    solidity: median(middle.units.map((p) => p.areaPx / p.filledPx)),
    rectangularity: median(middle.units.map((p) => rectangleShare(middle, p))),
  };
}

/** Share of its smallest rectangle (outer pixel edges) that a piece fills. */
export function rectangleShare(cut: LevelCut, piece: Piece): number {
  const rect = minimumAreaRectangle(outlinePoints(cut, piece));
  return piece.filledPx / ((rect.sizeLong + 1) * (rect.sizeShort + 1));
}

/** First and last pixel of each row of a piece: enough for its hull. */
export function outlinePoints(cut: LevelCut, piece: Piece): PointPx[] {
  const points: PointPx[] = [];
  const [x0, y0, w, h] = piece.boxPx;
  for (let y = y0; y < y0 + h; y++) {
    const row = y * cut.mask.width;
    let first = -1;
    let last = -1;
    for (let x = x0; x < x0 + w; x++) {
      if (cut.labels[row + x] !== piece.label) continue;
      if (first < 0) first = x;
      last = x;
    }
    if (first >= 0) points.push([first, y], [last, y]);
  }
  return points;
}
