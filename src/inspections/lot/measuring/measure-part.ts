import type { AffineMap } from "../../../align/similarity.ts";
import { applyMap } from "../../../align/similarity.ts";
import type { Image } from "../../../numeric/image.ts";
import { median, quantile, robustSpread } from "../../../numeric/order.ts";
import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";
import { growRectangle } from "../../../numeric/oriented-rectangle.ts";
import type { FittedRectangle } from "../../../numeric/rectangle-edges.ts";
import { fallsThrough, fitRectangleEdges, leavesLevel } from "../../../numeric/rectangle-edges.ts";
import type { Patch } from "../finding/patch.ts";
import { withWalls } from "./die-walls.ts";
import type { BodyLevels } from "./inside-body.ts";
import { insideValues } from "./inside-body.ts";
import type { MeasuredRectangle } from "./measured-rectangle.ts";

export type { MeasuredRectangle } from "./measured-rectangle.ts";

/**
 * Standard uncertainty of where an edge lies beyond its scatter along the side: the half-way point of a blurred
 * edge moves with its neighbours (fillet, taper, wire). Checked on simulated pictures of known truth.
 */
const uEdgePx = 0.35;

/** Carries a rectangle that is upright in the frame into a patch. */
export function intoPatch(map: AffineMap, rect: OrientedRectangle): OrientedRectangle {
  const scale = Math.hypot(map.a, map.d);
  return {
    centrePx: applyMap(map, rect.centrePx),
    angleRad: rect.angleRad + Math.atan2(map.d, map.a),
    lengthPx: rect.lengthPx * scale,
    widthPx: rect.widthPx * scale,
  };
}

/** The die pad's edges: half-way between metal and mould, going outwards (bars and fused leads are outvoted). */
export function measurePad(
  patch: Patch,
  start: OrientedRectangle,
  levels: BodyLevels,
): MeasuredRectangle | null {
  const searchPx = Math.max(5, 0.06 * Math.min(start.lengthPx, start.widthPx));
  const fit = fitRectangleEdges(patch.image, start, {
    searchPx,
    turnRad: 0.04,
    locate: fallsThrough(levels.between),
    cornerShare: 0.15,
    leastShare: 0.2,
  });
  return fit && withinReason(fit, start) ? withUncertainty(fit) : null;
}

/**
 * The die's edges: where the profile going outwards from the die's even middle leaves its level, half-way up to the
 * attach fillet as high as it stands there (denser than the die) or half-way down to the bare pad. The fillet's own
 * outline wanders; the silicon edge is straight, so most profiles agree on it.
 */
export function measureDie(
  patch: Pick<Patch, "image">,
  start: OrientedRectangle,
  dieLevel: number,
  noise: number,
  blurPx: number | null = null,
  { mostSearchPx = Number.POSITIVE_INFINITY, fading = false }: DieSearch = {},
): MeasuredRectangle | null {
  const searchPx = Math.max(8, Math.min(16, 0.06 * Math.min(start.lengthPx, start.widthPx)));
  const { up, down, fewDown } = edgeSteps(patch.image, start, dieLevel, searchPx);
  const perPixel = Math.max(3 * levelNoise(patch.image, start, dieLevel), noise);
  // Profiles are averaged along the side until half the larger step stands clear of noise, as far as a turned side allows;
  // no further, or bonds side by side would run into one line.
  const enough = (bandPx: number) => (8 * perPixel) / Math.sqrt(bandPx);
  const bandPx = [3, 5, 7, 9].find((b) => Math.max(up, down) > enough(b));
  if (bandPx === undefined) return null;
  const least = enough(bandPx);
  const fitFor = (down: number) => {
    const departure = Math.max(
      0.5 * least,
      leastOfStep * Math.min(...[up, down].filter((step) => step > least)),
    );
    return fitRectangleEdges(patch.image, start, {
      searchPx: Math.min(searchPx, mostSearchPx),
      turnRad: 0.07,
      locate: leavesLevel(
        dieLevel,
        down < least ? Number.POSITIVE_INFINITY : departure,
        up < least ? Number.POSITIVE_INFINITY : departure,
      ),
      cornerShare: 0.1,
      bandPx,
      leastShare: 0.22,
    });
  };
  const fit = fitFor(fading && down < least && fewDown > least ? fewDown : down);
  return fit && withinReason(fit, start) ? withWalls(patch.image, withUncertainty(fit), fit, blurPx) : null;
}

/** Where a die's edge is looked for. */
export interface DieSearch {
  /** How far about the start, px. */
  readonly mostSearchPx?: number;
  /**
   * Most of a wide fillet hides the fall to the pad; along a side on which it fades that is all there is. The fall of the
   * deepest tenth then counts. Rows of bonds fall as deep: only where no outline is found otherwise.
   */
  readonly fading?: boolean;
}

/** Share of the smaller typical step by which a profile must leave the die's level: slopes and voids on it stay below. */
const leastOfStep = 0.3;

/** Robust spread of the die's own level over 3 x 3 px means, as the edge profiles average. */
function levelNoise(image: Image, die: OrientedRectangle, dieLevel: number): number {
  const half = Math.max(3, 0.3 * Math.min(die.lengthPx, die.widthPx));
  const values: number[] = [];
  for (let y = Math.round(die.centrePx[1] - half); y <= die.centrePx[1] + half; y += 2) {
    for (let x = Math.round(die.centrePx[0] - half); x <= die.centrePx[0] + half; x += 2) {
      if (x < 1 || y < 1 || x >= image.width - 1 || y >= image.height - 1) continue;
      let sum = 0;
      for (let dy = -1; dy <= 1; dy++)
        for (let dx = -1; dx <= 1; dx++) sum += image.data[(y + dy) * image.width + x + dx] as number;
      values.push(sum / 9);
    }
  }
  return robustSpread(values, dieLevel);
}

/** Typical rise to the fillet and fall to the bare pad around the die, and the fall on the tenth where it is deepest. */
function edgeSteps(image: Image, start: OrientedRectangle, dieLevel: number, searchPx: number) {
  const outlines: number[][] = [];
  for (let margin = -searchPx; margin <= Math.min(6, searchPx); margin++)
    outlines.push(outlineValues(image, growRectangle(start, margin)));
  const count = Math.min(...outlines.map((o) => o.length));
  const rises: number[] = [];
  const falls: number[] = [];
  for (let i = 0; i < count; i++) {
    let high = Number.NEGATIVE_INFINITY;
    let low = Number.POSITIVE_INFINITY;
    for (const outline of outlines) {
      high = Math.max(high, outline[i] as number);
      low = Math.min(low, outline[i] as number);
    }
    rises.push(high - dieLevel);
    falls.push(dieLevel - low);
  }
  if (!count) return { up: 0, down: 0, fewDown: 0 };
  return { up: quantile(rises, 0.6), down: quantile(falls, 0.5), fewDown: quantile(falls, 0.9) };
}

function outlineValues(image: Image, rect: OrientedRectangle): number[] {
  const values: number[] = [];
  const c = Math.cos(rect.angleRad);
  const s = Math.sin(rect.angleRad);
  const take = (u: number, v: number) => {
    const x = Math.round(rect.centrePx[0] + c * u - s * v);
    const y = Math.round(rect.centrePx[1] + s * u + c * v);
    if (x >= 0 && y >= 0 && x < image.width && y < image.height)
      values.push(image.data[y * image.width + x] as number);
  };
  const steps = 60;
  for (let i = 0; i < steps; i++) {
    const t = 0.8 * ((i + 0.5) / steps - 0.5);
    take(t * rect.lengthPx, -rect.widthPx / 2);
    take(t * rect.lengthPx, rect.widthPx / 2);
    take(-rect.lengthPx / 2, t * rect.widthPx);
    take(rect.lengthPx / 2, t * rect.widthPx);
  }
  return values;
}

function withinReason(fit: FittedRectangle, start: OrientedRectangle): boolean {
  const near = (a: number, b: number) => Math.abs(a / b - 1) < 0.25;
  return near(fit.rectangle.lengthPx, start.lengthPx) && near(fit.rectangle.widthPx, start.widthPx);
}

function withUncertainty(fit: FittedRectangle): MeasuredRectangle {
  return {
    rectangle: fit.rectangle,
    uLengthPx: Math.hypot(fit.uLengthPx, Math.SQRT2 * uEdgePx),
    uWidthPx: Math.hypot(fit.uWidthPx, Math.SQRT2 * uEdgePx),
    sidesAlongPx: fit.sides.map((side) => side.alongPx),
    agreement: fit.sides.reduce((sum, side) => sum + side.agreeing / side.profiles, 0) / 4,
  };
}

/** Leads standing out of a body: how many, and their middle-to-middle distance in frame px. */
export interface LeadCount {
  readonly count: number;
  readonly pitchPx: number | null;
}

/** Sides on which a part reaches less far than this share of its leads show cut tie bars and flash. */
const stubShare = 0.35;

/**
 * Counts leads on four lines half-way along their projection from the body.
 *
 * @param reachPx how far the part reaches from its body centre, along and across, frame px
 * @returns null when nothing projects, "cut" when a line leaves the picture
 */
export function countLeads(
  image: Image,
  body: OrientedRectangle,
  reachPx: readonly [number, number],
  openField: number,
): LeadCount | "cut" | null {
  const [cx, cy] = body.centrePx;
  const projectX = reachPx[0] - body.lengthPx / 2;
  const projectY = reachPx[1] - body.widthPx / 2;
  const least = Math.max(3, 0.04 * body.widthPx, stubShare * Math.max(projectX, projectY));
  let count = 0;
  const pitches: number[] = [];
  for (const side of [0, 1, 2, 3]) {
    const alongX = side < 2;
    const project = alongX ? projectY : projectX;
    if (project < least) continue;
    const off = ((alongX ? body.widthPx : body.lengthPx) / 2 + 0.5 * project) * (side % 2 ? 1 : -1);
    const half = (alongX ? body.lengthPx : body.widthPx) / 2;
    const values: number[] = [];
    for (let t = -Math.floor(half); t <= half; t++) {
      const x = Math.round(alongX ? cx + t : cx + off);
      const y = Math.round(alongX ? cy + off : cy + t);
      const v = image.data[y * image.width + x];
      if (v === undefined || Number.isNaN(v) || x < 0 || x >= image.width) return "cut";
      values.push(v);
    }
    const runs = denseRuns(values, openField);
    count += runs.length;
    for (let i = 1; i < runs.length; i++) pitches.push((runs[i] as number) - (runs[i - 1] as number));
  }
  return count ? { count, pitchPx: pitches.length ? median(pitches) : null } : null;
}

/**
 * Middles of the leads along a line: runs denser than a quarter of the line's densest tenth that reach 0.28 of it,
 * which flash does not. Between leads there is open field, and a lead bent downwards is up to three times as dense
 * where it is seen end on as where it lies flat.
 */
function denseRuns(values: readonly number[], openField: number): number[] {
  const dense = [...values].sort((p, q) => q - p)[Math.floor(values.length / 10)] ?? 0;
  if (0.5 * dense < openField) return [];
  const level = Math.max(0.25 * dense, openField);
  const runs: number[] = [];
  let first = -1;
  let peak = 0;
  for (let i = 0; i <= values.length; i++) {
    const value = i < values.length ? (values[i] as number) : Number.NEGATIVE_INFINITY;
    if (value > level) {
      if (first < 0) first = i;
      peak = Math.max(peak, value);
      continue;
    }
    if (first >= 0 && i - first >= 2 && peak >= 0.28 * dense) runs.push((first + i - 1) / 2);
    first = -1;
    peak = 0;
  }
  return runs;
}

/** Middle attenuation inside a rectangle of the frame, or null when it holds no pixels. */
export function levelInside(image: Image, rect: OrientedRectangle): number | null {
  const values = insideValues(image, rect);
  return values.length ? median(values) : null;
}
