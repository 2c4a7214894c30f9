import { minimumAreaRectangle } from "../../../numeric/hull-rectangle.ts";
import type { Image } from "../../../numeric/image.ts";
import { quantile } from "../../../numeric/order.ts";
import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";
import type { LevelCut, Piece } from "./part-levels.ts";
import { outlinePoints } from "./part-levels.ts";

/** Directions looked at, over a quarter turn. */
const bins = 180;
/** Peaks of the votes nearer than this to a higher one belong to it. */
const apartBins = 10;
const mostDirections = 3;
const quarterTurn = Math.PI / 2;

/**
 * Directions of a piece's edges, modulo a quarter turn, the likeliest first: electronics are built of parallel
 * straight edges, so gradient directions pile up at one angle. Slanting leads and thin ones on a coarse grid pile up
 * at others; so the smallest rectangle around the piece has its say too. Returns radians in [-pi/4, pi/4).
 */
export function edgeDirections(attenuation: Image, cut: LevelCut, piece: Piece): number[] {
  const votes = directionVotes(attenuation, cut, piece);
  const at = (k: number) => votes[(k + bins) % bins] as number;
  const smooth = Array.from({ length: bins }, (_, k) => {
    let sum = 0;
    for (let d = -4; d <= 4; d++) sum += at(k + d) * (5 - Math.abs(d));
    return sum;
  });
  const byVotes = smooth
    .map((_, k) => k)
    .sort((p, q) => (smooth[q] as number) - (smooth[p] as number) || p - q);
  const peaks: number[] = [];
  for (const k of byVotes) {
    const apart = (p: number) => Math.min(Math.abs(p - k), bins - Math.abs(p - k));
    if (peaks.length < mostDirections && peaks.every((p) => apart(p) > apartBins)) peaks.push(k);
  }
  const voted = peaks.map((peak) => {
    let weight = 0;
    let shift = 0;
    for (let d = -4; d <= 4; d++) {
      weight += at(peak + d);
      shift += at(peak + d) * d;
    }
    return ((peak + (weight > 0 ? shift / weight : 0)) / bins) * quarterTurn;
  });
  const outline = minimumAreaRectangle(outlinePoints(cut, piece)).angleRad;
  const [likeliest, ...others] = voted as [number, ...number[]];
  return [likeliest, outline, ...others].map((angle) => {
    const within = angle - quarterTurn * Math.floor(angle / quarterTurn);
    return within >= quarterTurn / 2 ? within - quarterTurn : within;
  });
}

/** Edge strength by direction, folded into a quarter turn. */
function directionVotes({ width, height, data }: Image, cut: LevelCut, piece: Piece): Float64Array {
  const votes = new Float64Array(bins);
  const cap = 2 * cut.level;
  const [x0, y0, w, h] = piece.boxPx;
  const at = (i: number) => data[i] as number;
  for (let y = Math.max(1, y0); y < Math.min(height - 1, y0 + h); y++) {
    for (let x = Math.max(1, x0); x < Math.min(width - 1, x0 + w); x++) {
      const i = y * width + x;
      if (cut.labels[i] !== piece.label) continue;
      // Weights 3, 10, 3: the gradient of 3 x 3 pixels whose direction errs least (Scharr).
      const up = i - width;
      const down = i + width;
      const gx =
        (3 * (at(up + 1) - at(up - 1) + at(down + 1) - at(down - 1)) + 10 * (at(i + 1) - at(i - 1))) / 16;
      const gy =
        (3 * (at(down - 1) - at(up - 1) + at(down + 1) - at(up + 1)) + 10 * (at(down) - at(up))) / 16;
      // Capped, so that the long outline of the mould counts as much as short steep edges of metal.
      const strength = Math.min(Math.hypot(gx, gy), cap);
      if (!(strength > 0.1 * cap)) continue;
      let angle = Math.atan2(gy, gx) % quarterTurn;
      if (angle < 0) angle += quarterTurn;
      const place = (angle / quarterTurn) * bins;
      const k = Math.floor(place);
      const share = place - k;
      votes[k % bins] = (votes[k % bins] as number) + strength * (1 - share);
      votes[(k + 1) % bins] = (votes[(k + 1) % bins] as number) + strength * share;
    }
  }
  return votes;
}

interface Profile {
  readonly counts: Float64Array;
  readonly origin: number;
}

/**
 * The body of a part within its piece (leads excluded), in reduced pixels: the central range of rows and
 * columns, in the piece's own axes, that the piece fills almost completely. Rows of leads fill only
 * lead width / pitch of their length (about half, common practice).
 */
export function coarseBody(cut: LevelCut, piece: Piece, angleRad: number): OrientedRectangle {
  const c = Math.cos(angleRad);
  const s = Math.sin(angleRad);
  const [cx, cy] = piece.centroidPx;
  const [x0, y0, w, h] = piece.boxPx;
  const us: number[] = [];
  const vs: number[] = [];
  for (let y = y0; y < y0 + h; y++) {
    for (let x = x0; x < x0 + w; x++) {
      const i = y * cut.mask.width + x;
      if (cut.labels[i] !== piece.label || !cut.mask.data[i]) continue;
      us.push(c * (x - cx) + s * (y - cy));
      vs.push(-s * (x - cx) + c * (y - cy));
    }
  }
  let rangeU = extent(us);
  let rangeV = extent(vs);
  for (const share of [0.6, 0.8, 0.8]) {
    const nextV = filledRange(vs, us, rangeU, rangeV, share);
    const nextU = filledRange(us, vs, nextV, rangeU, share);
    rangeV = nextV;
    rangeU = nextU;
  }
  const u = (rangeU[0] + rangeU[1]) / 2;
  const v = (rangeV[0] + rangeV[1]) / 2;
  return {
    centrePx: [cx + c * u - s * v, cy + s * u + c * v],
    angleRad,
    lengthPx: rangeU[1] - rangeU[0] + 1,
    widthPx: rangeV[1] - rangeV[0] + 1,
  };
}

/** The smallest rectangle of a given direction around all of a piece, in reduced pixels. */
export function aroundPiece(cut: LevelCut, piece: Piece, angleRad: number): OrientedRectangle {
  const c = Math.cos(angleRad);
  const s = Math.sin(angleRad);
  const points = outlinePoints(cut, piece);
  const [u0, u1] = extent(points.map(([x, y]) => c * x + s * y));
  const [v0, v1] = extent(points.map(([x, y]) => c * y - s * x));
  const [u, v] = [(u0 + u1) / 2, (v0 + v1) / 2];
  return {
    centrePx: [c * u - s * v, s * u + c * v],
    angleRad,
    lengthPx: u1 - u0 + 1,
    widthPx: v1 - v0 + 1,
  };
}

/**
 * How far a piece reaches from a body's centre along and across it, px of the original: on its rim the cells of the
 * reduced picture are looked at in halves.
 *
 * @param attenuation the original
 * @param cut of the picture reduced by `reducedBy`
 */
export function reachFrom(
  { centrePx: [cx, cy], angleRad }: Pick<OrientedRectangle, "centrePx" | "angleRad">,
  attenuation: Image,
  reducedBy: number,
  cut: LevelCut,
  piece: Piece,
): [along: number, across: number] {
  const c = Math.cos(angleRad);
  const s = Math.sin(angleRad);
  const finer = Math.max(1, reducedBy >> 1);
  const { labels } = cut;
  const { width, height } = cut.mask;
  const [x0, y0, w, h] = piece.boxPx;
  let along = 0;
  let across = 0;
  for (let y = y0; y < y0 + h; y++) {
    for (let x = x0; x < x0 + w; x++) {
      const i = y * width + x;
      if (labels[i] !== piece.label) continue;
      const inner =
        x > 0 &&
        y > 0 &&
        x < width - 1 &&
        y < height - 1 &&
        labels[i - 1] === piece.label &&
        labels[i + 1] === piece.label &&
        labels[i - width] === piece.label &&
        labels[i + width] === piece.label;
      if (inner) continue;
      for (let v = y * reducedBy; v + finer <= (y + 1) * reducedBy; v += finer) {
        for (let u = x * reducedBy; u + finer <= (x + 1) * reducedBy; u += finer) {
          if (!(blockMean(attenuation, u, v, finer) > cut.level)) continue;
          const dx = u + (finer - 1) / 2 - cx;
          const dy = v + (finer - 1) / 2 - cy;
          along = Math.max(along, Math.abs(c * dx + s * dy));
          across = Math.max(across, Math.abs(c * dy - s * dx));
        }
      }
    }
  }
  return [along + finer / 2, across + finer / 2];
}

function blockMean({ width, data }: Image, x: number, y: number, side: number): number {
  let sum = 0;
  for (let v = y; v < y + side; v++) for (let u = x; u < x + side; u++) sum += data[v * width + u] as number;
  return sum / side ** 2;
}

/** Range of `values` whose bins, counted where `others` lie in `otherRange`, are filled to `share` of the median bin. */
function filledRange(
  values: readonly number[],
  others: readonly number[],
  otherRange: readonly [number, number],
  range: readonly [number, number],
  share: number,
): [number, number] {
  const profile = countProfile(values, others, otherRange, range);
  const filled = [...profile.counts].filter((n) => n > 0);
  if (!filled.length) return [range[0], range[1]];
  const least = share * quantile(filled, 0.5);
  let bestFirst = 0;
  let bestLength = 0;
  let first = -1;
  let gap = 0;
  for (let k = 0; k <= profile.counts.length; k++) {
    if (k < profile.counts.length && (profile.counts[k] as number) >= least) {
      if (first < 0) first = k;
      gap = 0;
      continue;
    }
    gap++;
    // A slot across a body (one or two reduced pixels) does not end it.
    if (first >= 0 && (gap > 2 || k === profile.counts.length)) {
      const length = k - gap + 1 - first;
      if (length > bestLength) {
        bestLength = length;
        bestFirst = first;
      }
      first = -1;
    }
  }
  if (!bestLength) return [range[0], range[1]];
  return [profile.origin + bestFirst, profile.origin + bestFirst + bestLength - 1];
}

function countProfile(
  values: readonly number[],
  others: readonly number[],
  otherRange: readonly [number, number],
  range: readonly [number, number],
): Profile {
  const origin = Math.round(range[0]);
  const counts = new Float64Array(Math.max(1, Math.round(range[1]) - origin + 1));
  for (let i = 0; i < values.length; i++) {
    const other = others[i] as number;
    if (other < otherRange[0] - 0.5 || other > otherRange[1] + 0.5) continue;
    const k = Math.round(values[i] as number) - origin;
    if (k >= 0 && k < counts.length) counts[k] = (counts[k] as number) + 1;
  }
  return { counts, origin };
}

function extent(values: readonly number[]): [number, number] {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const v of values) {
    if (v < low) low = v;
    if (v > high) high = v;
  }
  return [low, high];
}
