import type { Image, PointPx } from "../../numeric/image.ts";
import { quantile } from "../../numeric/order.ts";
import type { OrientedRectangle } from "../../numeric/oriented-rectangle.ts";
import { pointInRectangle } from "../../numeric/oriented-rectangle.ts";
import type { FittedRectangle } from "../../numeric/rectangle-edges.ts";
import { fitRectangleEdges, footBelow } from "../../numeric/rectangle-edges.ts";
import type { LevelCut, Piece } from "./part-levels.ts";

/**
 * Direction of a piece's edges, modulo a quarter turn: electronics are built of parallel straight edges,
 * so gradient directions pile up at one angle. Returns radians in [-pi/4, pi/4).
 */
export function edgeDirection(attenuation: Image, cut: LevelCut, piece: Piece): number {
  const { width, height, data } = attenuation;
  const bins = 180;
  const votes = new Float64Array(bins);
  const cap = 2 * cut.level;
  const [x0, y0, w, h] = piece.boxPx;
  for (let y = Math.max(1, y0); y < Math.min(height - 1, y0 + h); y++) {
    for (let x = Math.max(1, x0); x < Math.min(width - 1, x0 + w); x++) {
      const i = y * width + x;
      if (cut.labels[i] !== piece.label) continue;
      const gx = (data[i + 1] as number) - (data[i - 1] as number);
      const gy = (data[i + width] as number) - (data[i - width] as number);
      // Capped, so that the long outline of the mould counts as much as short steep edges of metal.
      const strength = Math.min(Math.hypot(gx, gy), cap);
      if (!(strength > 0.1 * cap)) continue;
      const quarter = Math.PI / 2;
      let angle = Math.atan2(gy, gx) % quarter;
      if (angle < 0) angle += quarter;
      const place = (angle / quarter) * bins;
      const k = Math.floor(place);
      const share = place - k;
      votes[k % bins] = (votes[k % bins] as number) + strength * (1 - share);
      votes[(k + 1) % bins] = (votes[(k + 1) % bins] as number) + strength * share;
    }
  }
  const smooth = (k: number) => {
    let sum = 0;
    for (let d = -4; d <= 4; d++) sum += (votes[(k + d + bins) % bins] as number) * (5 - Math.abs(d));
    return sum;
  };
  let best = 0;
  let bestVotes = -1;
  for (let k = 0; k < bins; k++) {
    const v = smooth(k);
    if (v > bestVotes) {
      bestVotes = v;
      best = k;
    }
  }
  let weight = 0;
  let shift = 0;
  for (let d = -4; d <= 4; d++) {
    const v = votes[(best + d + bins) % bins] as number;
    weight += v;
    shift += v * d;
  }
  const angle = ((best + shift / weight) / bins) * (Math.PI / 2);
  return angle >= Math.PI / 4 ? angle - Math.PI / 2 : angle;
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
export function coarseBody(
  cut: LevelCut,
  piece: Piece,
  angleRad: number,
): OrientedRectangle & { reachPx: [number, number] } {
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
  const reachPx: [number, number] = [
    Math.max(-rangeU[0], rangeU[1]) + 0.5,
    Math.max(-rangeV[0], rangeV[1]) + 0.5,
  ];
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
    reachPx,
  };
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

/**
 * Moulded sides are drafted, so the outer outline (the one a data sheet gives) lies where attenuation starts
 * to rise, not half-way up: the slope is found at `slopeShare` of the mould's own attenuation (high enough to
 * stand clear of a pocket wall) and followed down to `footShare` of that.
 */
const slopeShare = 0.72;
const footShare = 0.15;

/** The body's four edges at full resolution. */
export function fitBody(
  attenuation: Image,
  start: OrientedRectangle,
  reducedBy: number,
): FittedRectangle | null {
  const searchPx = Math.max(3 * reducedBy + 3, 0.05 * Math.min(start.lengthPx, start.widthPx));
  const inside = bandLevel(attenuation, start, -searchPx);
  const outside = bandLevel(attenuation, start, searchPx);
  if (!(inside > outside)) return null;
  const within = (turnRad: number) =>
    fitRectangleEdges(attenuation, start, {
      searchPx,
      turnRad,
      locate: footBelow(outside + slopeShare * (inside - outside), footShare),
      leastShare: 0.12,
    });
  // A direction taken from slanting leads can be off by ten degrees.
  return within(0.05) ?? within(0.2);
}

/** Low quartile of attenuation along a rectangle `marginPx` outside (or inside) the given one: the level between leads. */
function bandLevel(image: Image, rect: OrientedRectangle, marginPx: number): number {
  const moved = { ...rect, lengthPx: rect.lengthPx + 2 * marginPx, widthPx: rect.widthPx + 2 * marginPx };
  const values: number[] = [];
  const steps = 200;
  const take = ([x, y]: PointPx) => {
    const ix = Math.round(x);
    const iy = Math.round(y);
    if (ix >= 0 && iy >= 0 && ix < image.width && iy < image.height)
      values.push(image.data[iy * image.width + ix] as number);
  };
  for (let i = 0; i < steps; i++) {
    const t = 0.9 * ((i + 0.5) / steps - 0.5);
    take(pointInRectangle(moved, t, -0.5));
    take(pointInRectangle(moved, t, 0.5));
    take(pointInRectangle(moved, -0.5, t));
    take(pointInRectangle(moved, 0.5, t));
  }
  return values.length ? quantile(values, 0.25) : 0;
}
