import type { Image } from "./image.ts";
import type { OrientedRectangle } from "./oriented-rectangle.ts";
import type { Run, SidePoints } from "./side-places.ts";
import { commonTurn, sidePlace } from "./side-places.ts";

/** Where the edge may be in one profile across a side. */
export interface EdgesInProfile {
  /** Fractional indices; with several, the one on which most profiles of the side agree is the edge. */
  readonly at: readonly number[];
  /**
   * Stretches [first, end] over which the profile is surely still within the rectangle: where many profiles run on
   * across a line, that line is not the edge. None where the profile does not tell.
   */
  readonly within: readonly (readonly [number, number])[];
}

/** Reads one profile across a side. The profile runs from inside (index 0) to outside, half a pixel apart. */
export type EdgeLocator = (profile: Float32Array) => EdgesInProfile;

const noEdge: EdgesInProfile = { at: [], within: [] };
const edgeAt = (index: number): EdgesInProfile => ({ at: [index], within: [] });

export interface RectangleEdgeOptions {
  /** How far to look either side of the starting rectangle. */
  readonly searchPx: number;
  /** Largest turn looked for beyond the starting angle. */
  readonly turnRad: number;
  readonly locate: EdgeLocator;
  /** Share of a side left out at each end, where corners are rounded or chamfered. */
  readonly cornerShare?: number;
  /** Profiles are averaged over this length along the side. */
  readonly bandPx?: number;
  /** Sides with a smaller share of agreeing profiles are not found. */
  readonly leastShare?: number;
}

export interface FittedSide {
  readonly profiles: number;
  readonly agreeing: number;
  /** Standard deviation of the agreeing profiles about the line. */
  readonly rmsPx: number;
  /** Where along the side, px from its middle, the agreeing profiles stand. */
  readonly alongPx: readonly number[];
}

export interface FittedRectangle {
  readonly rectangle: OrientedRectangle;
  /** Right (+length), bottom (+width), left, top, in the rectangle's own axes. */
  readonly sides: readonly [FittedSide, FittedSide, FittedSide, FittedSide];
  /** Standard uncertainty of length and width from the scatter along the sides alone. */
  readonly uLengthPx: number;
  readonly uWidthPx: number;
}

const stepPx = 0.5;

/** Where more than half as many profiles run on across a line as end on it, it is no side. */
const leastHeld = 0.5;

/**
 * Fits the four straight sides of a rectangle at sub-pixel precision.
 *
 * Each side is read as profiles along its outward normal; the four sides share one turn, found
 * where most profiles agree (so that wires, fillets, tie bars and holes crossing a side are outvoted,
 * not averaged in), then each side's place is the mean of the agreeing profiles.
 *
 * @returns null when a side has too few agreeing profiles
 * @see docs/methods/lot.md
 */
export function fitRectangleEdges(
  image: Image,
  start: OrientedRectangle,
  options: RectangleEdgeOptions,
): FittedRectangle | null {
  let current = start;
  let turnRad = options.turnRad;
  let fitted: FittedRectangle | null = null;
  for (let round = 0; round < 3; round++) {
    fitted = fitOnce(image, current, options, turnRad);
    if (!fitted) return null;
    current = fitted.rectangle;
    turnRad = Math.max(0.01, turnRad / 3);
  }
  return fitted;
}

function fitOnce(
  image: Image,
  rect: OrientedRectangle,
  options: RectangleEdgeOptions,
  turnRad: number,
): FittedRectangle | null {
  const leastShare = options.leastShare ?? 0.25;
  const points = [0, 1, 2, 3].map((side) => readSide(image, rect, side, options));
  const turn = commonTurn(points, turnRad);
  const offsets: number[] = [];
  const uOffsets: number[] = [];
  const sides: FittedSide[] = [];
  for (const side of points) {
    const place = sidePlace(side, turn);
    if (!place || place.agreeing < Math.max(3, leastShare * side.profiles)) return null;
    if (place.held < leastHeld * place.agreeing) return null;
    offsets.push(place.offset);
    uOffsets.push(place.rms / Math.sqrt(Math.max(1, place.agreeing / 4)));
    sides.push({
      profiles: side.profiles,
      agreeing: place.agreeing,
      rmsPx: place.rms,
      alongPx: place.alongPx,
    });
  }
  const [right, bottom, left, top] = offsets as [number, number, number, number];
  const lengthPx = rect.lengthPx + right + left;
  const widthPx = rect.widthPx + bottom + top;
  if (!(lengthPx > 4 && widthPx > 4)) return null;
  const along = (right - left) / 2;
  const across = (bottom - top) / 2;
  const c = Math.cos(rect.angleRad);
  const s = Math.sin(rect.angleRad);
  return {
    rectangle: {
      centrePx: [rect.centrePx[0] + c * along - s * across, rect.centrePx[1] + s * along + c * across],
      angleRad: rect.angleRad - turn,
      lengthPx,
      widthPx,
    },
    sides: sides as unknown as FittedRectangle["sides"],
    uLengthPx: Math.hypot(uOffsets[0] as number, uOffsets[2] as number),
    uWidthPx: Math.hypot(uOffsets[1] as number, uOffsets[3] as number),
  };
}

/** Edge points of one side: `along` the side (px from its middle), `out` along the outward normal (px from the start). */
function readSide(
  image: Image,
  rect: OrientedRectangle,
  side: number,
  options: RectangleEdgeOptions,
): SidePoints {
  const { searchPx } = options;
  const angle = rect.angleRad + (side * Math.PI) / 2;
  const nx = Math.cos(angle);
  const ny = Math.sin(angle);
  const half = (side % 2 === 0 ? rect.lengthPx : rect.widthPx) / 2;
  const sideLength = side % 2 === 0 ? rect.widthPx : rect.lengthPx;
  const usable = sideLength * (1 - 2 * (options.cornerShare ?? 0.08));
  const profiles = Math.max(4, Math.min(240, Math.floor(usable / 1.5)));
  const band = Math.max(1, Math.round(options.bandPx ?? 3));
  const reach = Math.min(searchPx, half * 0.9);
  const samples = Math.floor((reach + searchPx) / stepPx) + 1;
  const profile = new Float32Array(samples);
  const along: number[] = [];
  const out: number[] = [];
  const runs: Run[] = [];
  const { width, height, data } = image;
  const lastX = width - 1;
  const lastY = height - 1;
  const [cx, cy] = rect.centrePx;
  const halfBand = (band - 1) / 2;
  for (let i = 0; i < profiles; i++) {
    const t = usable * ((i + 0.5) / profiles - 0.5);
    let inside = true;
    for (let k = 0; k < samples && inside; k++) {
      const n = half - reach + k * stepPx;
      const outX = cx + nx * n;
      const outY = cy + ny * n;
      let sum = 0;
      for (let b = 0; b < band; b++) {
        const tt = t + b - halfBand;
        const x = outX - ny * tt;
        const y = outY + nx * tt;
        if (!(x >= 0 && y >= 0 && x < lastX && y < lastY)) {
          inside = false;
          break;
        }
        const ix = x | 0;
        const iy = y | 0;
        const fx = x - ix;
        const fy = y - iy;
        const gx = 1 - fx;
        const p = iy * width + ix;
        const upper = (data[p] as number) * gx + (data[p + 1] as number) * fx;
        const lower = (data[p + width] as number) * gx + (data[p + width + 1] as number) * fx;
        sum += upper * (1 - fy) + lower * fy;
      }
      profile[k] = sum / band;
    }
    if (!inside) continue;
    const { at, within } = options.locate(profile);
    for (const index of at) {
      along.push(t);
      out.push(-reach + index * stepPx);
    }
    for (const [first, end] of within)
      runs.push({ along: t, from: -reach + first * stepPx, to: -reach + end * stepPx });
  }
  return {
    along: Float64Array.from(along),
    out: Float64Array.from(out),
    profiles,
    runs,
    places: new Float64Array(out.length),
    order: Int32Array.from(out, (_, i) => i),
  };
}

/** Edge where the profile, going outwards, first falls through `level`. */
export function fallsThrough(level: number): EdgeLocator {
  return (profile) => {
    for (let k = 1; k < profile.length; k++) {
      const before = profile[k - 1] as number;
      const after = profile[k] as number;
      if (before >= level && after < level) return edgeAt(k - 1 + (before - level) / (before - after));
    }
    return noEdge;
  };
}

/**
 * Edge at the foot of a slope: the profile, going outwards, falls through `level`; followed on until it no longer
 * falls (by 4 % of `level` in 1.5 px), the edge is where `share` of the fall from `level` to there remains.
 */
export function footBelow(level: number, share: number): EdgeLocator {
  const flat = 0.04 * level;
  const look = Math.round(1.5 / stepPx);
  return (profile) => {
    const first = profile.findIndex((v, k) => k > 0 && (profile[k - 1] as number) >= level && v < level);
    if (first < 0) return noEdge;
    let end = first;
    while (end + look < profile.length && (profile[end] as number) - (profile[end + look] as number) > flat)
      end++;
    if (end + look >= profile.length) return noEdge;
    const floor = profile[end + look] as number;
    const foot = floor + share * (level - floor);
    for (let k = first; k <= end + look; k++) {
      const before = profile[k - 1] as number;
      const after = profile[k] as number;
      if (before >= foot && after < foot) return edgeAt(k - 1 + (before - foot) / (before - after));
    }
    return noEdge;
  };
}

/**
 * Edges where the profile, going outwards, leaves `level` after at least 1.5 px on it: half-way to the furthest it
 * gets within the next 3 px, up or down. Each profile has its own half-way, as what lies beyond the edge may differ
 * from place to place.
 *
 * @param leastFall, leastRise departures from the level that count; either may be infinite
 */
export function leavesLevel(level: number, leastFall: number, leastRise: number): EdgeLocator {
  const least = Math.round(1.5 / stepPx);
  const ahead = Math.round(3 / stepPx);
  return (profile) => {
    const at: number[] = [];
    const stretches: (readonly [number, number])[] = [];
    let within = 0;
    for (let k = 0; k < profile.length; k++) {
      const off = (profile[k] as number) - level;
      if (off >= -leastFall && off <= leastRise) {
        within++;
        continue;
      }
      if (within >= least) {
        stretches.push([k - within, k - 1]);
        const sign = Math.sign(off);
        let furthest = k;
        for (let j = k; j < Math.min(profile.length, k + ahead); j++) {
          if (sign * (profile[j] as number) > sign * (profile[furthest] as number)) furthest = j;
        }
        const half = level + 0.5 * ((profile[furthest] as number) - level);
        let j = furthest;
        while (j > 0 && sign * ((profile[j - 1] as number) - half) > 0) j--;
        const before = profile[j - 1] as number;
        if (j > 0) at.push(j - 1 + (half - before) / ((profile[j] as number) - before));
      }
      within = 0;
    }
    if (within >= least) stretches.push([profile.length - within, profile.length - 1]);
    return { at, within: stretches };
  };
}
