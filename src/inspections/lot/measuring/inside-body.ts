import { labelComponents } from "../../../numeric/components.ts";
import type { Image, Mask } from "../../../numeric/image.ts";
import { createMask } from "../../../numeric/image.ts";
import { close, distanceTransform, fillHoles, open } from "../../../numeric/morphology.ts";
import { median, quantile } from "../../../numeric/order.ts";
import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";
import { reduceBy } from "../../../numeric/resample.ts";
import { histogram, otsuThreshold } from "../../../numeric/threshold.ts";
import type { SolidRange } from "./solid-range.ts";
import { solidRange } from "./solid-range.ts";

/** Attenuation levels inside a body. */
export interface BodyLevels {
  readonly mould: number;
  readonly metal: number;
  readonly between: number;
}

/** What can be seen inside one body, in frame pixels; the edges are refined elsewhere. */
export interface InsideBody {
  readonly levels: BodyLevels;
  readonly pad: OrientedRectangle | null;
  readonly die: OrientedRectangle | null;
  /** Middle attenuation of the die's area; null without a die. */
  readonly dieLevel: number | null;
}

const lookLongestPx = 240;

/** At how many tolerances a plateau is looked for, and over how many steps it must stay the same. */
interface PlateauSearch {
  readonly tolerances: number;
  readonly leastHeld: number;
}
const usualSearch: PlateauSearch = { tolerances: 14, leastHeld: 2 };
/** For a die that stands out little from its pad (large, thin, its middle covered): the same range, more finely. */
export const fineSearch: PlateauSearch = { tolerances: 28, leastHeld: 3 };

/**
 * Looks for die pad and die in a part lying straight in the frame. Done on the body alone, reduced to about
 * 240 px: only where to start is wanted here, the edges are fitted at full size.
 */
export function lookInsideBody(
  image: Image,
  body: OrientedRectangle,
  noise: number,
  search: PlateauSearch = usualSearch,
): InsideBody {
  const by = Math.max(1, Math.round(body.lengthPx / lookLongestPx));
  const { x0, x1, y0, y1 } = bounds(image, body);
  const small = reduceBy(crop(image, x0, y0, x1 - x0 + 1, y1 - y0 + 1), by);
  const inSmall: OrientedRectangle = {
    centrePx: [(body.centrePx[0] - x0 - (by - 1) / 2) / by, (body.centrePx[1] - y0 - (by - 1) / 2) / by],
    angleRad: 0,
    lengthPx: body.lengthPx / by,
    widthPx: body.widthPx / by,
  };
  const back = (rect: OrientedRectangle): OrientedRectangle => ({
    centrePx: [rect.centrePx[0] * by + (by - 1) / 2 + x0, rect.centrePx[1] * by + (by - 1) / 2 + y0],
    angleRad: 0,
    lengthPx: rect.lengthPx * by,
    widthPx: rect.widthPx * by,
  });
  const levels = bodyLevels(small, inSmall);
  const metal = maskAbove(small, inSmall, levels.between);
  const pad = findPad(metal, inSmall);
  const found = findDie(small, pad ?? shrunk(inSmall, 0.9), noise / by, search);
  return { levels, pad: pad && back(pad), die: found && back(found.die), dieLevel: found?.level ?? null };
}

function crop(image: Image, x0: number, y0: number, width: number, height: number): Image {
  const data = new Float32Array(width * height);
  for (let y = 0; y < height; y++) {
    const row = (y + y0) * image.width + x0;
    data.set(image.data.subarray(row, row + width), y * width);
  }
  return { width, height, data };
}

/** Mould and metal levels by Otsu's threshold (IEEE Trans. SMC 9, 1979) over the body's inside. */
export function bodyLevels(image: Image, body: OrientedRectangle): BodyLevels {
  const values = Float32Array.from(insideValues(image, shrunk(body, 0.94)));
  const low = quantile(values, 0.005);
  const high = quantile(values, 0.995);
  if (!(high > low)) return { mould: low, metal: high, between: high };
  const between = otsuThreshold(histogram(values, 256, low, high));
  const below: number[] = [];
  const above: number[] = [];
  for (const v of values) (v > between ? above : below).push(v);
  const mould = below.length ? median(below) : low;
  const metal = above.length ? median(above) : high;
  return { mould, metal, between: (mould + metal) / 2 };
}

/** The largest solid piece of metal near the middle, its bars opened away. */
function findPad(metal: Mask, body: OrientedRectangle): OrientedRectangle | null {
  const bodyArea = body.lengthPx * body.widthPx;
  const opened = open(fillHoles(metal), Math.max(1.5, 0.03 * body.widthPx));
  const { labels, components } = labelComponents(opened, 4);
  let best = 0;
  let bestScore = 0;
  for (const c of components) {
    const off = Math.hypot(c.centroidPx[0] - body.centrePx[0], c.centroidPx[1] - body.centrePx[1]);
    const score = c.areaPx * Math.exp(-((off / (0.35 * body.widthPx)) ** 2));
    if (score > bestScore) {
      bestScore = score;
      best = c.label;
    }
  }
  if (bestScore < 0.02 * bodyArea) return null;
  const piece: Mask = {
    width: opened.width,
    height: opened.height,
    data: new Uint8Array(opened.data.length),
  };
  for (let i = 0; i < labels.length; i++) piece.data[i] = labels[i] === best ? 1 : 0;
  const depth = distanceTransform(piece).data.reduce((m, d) => Math.max(m, d), 0);
  // A piece that fills the picture has no rim to be deep behind.
  if (depth === Number.POSITIVE_INFINITY) return null;
  const core = open(piece, 0.45 * depth);
  const range = solidRange(core, 0.7);
  if (!range) return null;
  const rect = asRectangle(range);
  // A pad as large as the body is the body itself seen as "metal": nothing separate was found.
  return rect.lengthPx * rect.widthPx > 0.92 * bodyArea ? null : rect;
}

/**
 * The die: the plateau of even attenuation around the pad's middle that stays the same rectangle while the
 * tolerance grows. Growing it far enough always reaches the pad; that last one is not a die.
 */
function findDie(
  image: Image,
  pad: OrientedRectangle,
  noise: number,
  search: PlateauSearch,
): { die: OrientedRectangle; level: number } | null {
  const area = pad.lengthPx * pad.widthPx;
  if (area < 80) return null;
  const seed = insideValues(image, shrunk(pad, 0.35));
  if (seed.length < 9) return null;
  const level = median(seed);
  const within = insideValues(image, shrunk(pad, 0.96));
  const spread = quantile(within, 0.98) - quantile(within, 0.02);
  const finest = Math.max(3 * noise, 0.004);
  const steps = search.tolerances;
  let previous: OrientedRectangle | null = null;
  let held = 0;
  let best: OrientedRectangle | null = null;
  let bestHeld = 0;
  for (let k = 0; k < steps; k++) {
    const tolerance = finest * Math.max(1.05, (0.8 * spread) / finest) ** (k / (steps - 1));
    const here = plateauAround(image, pad, level, tolerance);
    if (here && previous && sameSize(here, previous)) held++;
    else held = 0;
    previous = here;
    if (here && held > bestHeld && !nearlyWhole(here, pad)) {
      bestHeld = held;
      best = here;
    }
  }
  return best && bestHeld >= search.leastHeld ? { die: best, level } : null;
}

function plateauAround(
  image: Image,
  pad: OrientedRectangle,
  level: number,
  tolerance: number,
): OrientedRectangle | null {
  const near = maskWithin(image, pad, (v) => Math.abs(v - level) < tolerance);
  const { labels, components } = labelComponents(open(near, 1.5), 4);
  const largest = components.reduce<(typeof components)[number] | null>(
    (m, c) => (!m || c.areaPx > m.areaPx ? c : m),
    null,
  );
  if (!largest || largest.areaPx < 0.04 * pad.lengthPx * pad.widthPx) return null;
  const piece: Mask = { width: image.width, height: image.height, data: new Uint8Array(labels.length) };
  for (let i = 0; i < labels.length; i++) piece.data[i] = labels[i] === largest.label ? 1 : 0;
  // Wires and bond balls on the die are bridged before the holes they leave are filled.
  const solid = fillHoles(close(piece, 2));
  const range = solidRange(solid, 0.7);
  if (!range) return null;
  const rect = asRectangle(range);
  let filled = 0;
  for (let y = range.y[0]; y <= range.y[1]; y++) {
    for (let x = range.x[0]; x <= range.x[1]; x++) filled += solid.data[y * solid.width + x] as number;
  }
  return filled > 0.85 * rect.lengthPx * rect.widthPx ? rect : null;
}

function sameSize(p: OrientedRectangle, q: OrientedRectangle): boolean {
  const near = (a: number, b: number) => Math.abs(a - b) <= Math.max(2, 0.03 * a);
  return near(p.lengthPx, q.lengthPx) && near(p.widthPx, q.widthPx);
}

function nearlyWhole(rect: OrientedRectangle, pad: OrientedRectangle): boolean {
  return rect.lengthPx > 0.955 * pad.lengthPx && rect.widthPx > 0.955 * pad.widthPx;
}

function asRectangle({ x, y }: SolidRange): OrientedRectangle {
  return {
    centrePx: [(x[0] + x[1]) / 2, (y[0] + y[1]) / 2],
    angleRad: 0,
    lengthPx: x[1] - x[0] + 1,
    widthPx: y[1] - y[0] + 1,
  };
}

function shrunk(rect: OrientedRectangle, factor: number): OrientedRectangle {
  return { ...rect, lengthPx: rect.lengthPx * factor, widthPx: rect.widthPx * factor };
}

function bounds(image: Image, rect: OrientedRectangle) {
  return {
    x0: Math.max(0, Math.ceil(rect.centrePx[0] - rect.lengthPx / 2)),
    x1: Math.min(image.width - 1, Math.floor(rect.centrePx[0] + rect.lengthPx / 2)),
    y0: Math.max(0, Math.ceil(rect.centrePx[1] - rect.widthPx / 2)),
    y1: Math.min(image.height - 1, Math.floor(rect.centrePx[1] + rect.widthPx / 2)),
  };
}

/** Values inside an upright rectangle (no-value pixels left out). */
export function insideValues(image: Image, rect: OrientedRectangle): number[] {
  const { x0, x1, y0, y1 } = bounds(image, rect);
  const values: number[] = [];
  for (let y = y0; y <= y1; y++) {
    for (let x = x0; x <= x1; x++) {
      const v = image.data[y * image.width + x] as number;
      if (!Number.isNaN(v)) values.push(v);
    }
  }
  return values;
}

function maskAbove(image: Image, rect: OrientedRectangle, level: number): Mask {
  return maskWithin(image, rect, (v) => v > level);
}

function maskWithin(image: Image, rect: OrientedRectangle, keep: (value: number) => boolean): Mask {
  const { x0, x1, y0, y1 } = bounds(image, rect);
  const mask = createMask(image.width, image.height);
  for (let y = y0; y <= y1; y++) {
    for (let x = x0; x <= x1; x++) {
      const i = y * image.width + x;
      if (keep(image.data[i] as number)) mask.data[i] = 1;
    }
  }
  return mask;
}
