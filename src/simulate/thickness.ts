import type { MaterialName } from "../physics/material.ts";
import { CoverageBuffer } from "./coverage.ts";
import type { Ball, Feature, OutlineMm, Sheet, Wire } from "./feature.ts";
import type { Project } from "./projection.ts";

/** Features with the map that puts them into the picture. */
export interface PlacedFeatures {
  readonly features: readonly Feature[];
  /** Part mm to pixels. */
  readonly project: Project;
  /** Pixels per part mm, for round things. */
  readonly pxPerMm: number;
}

/** Millimetres of each material along the beam, in a band of sub-pixel rows. */
export interface ThicknessBand {
  readonly width: number;
  readonly rows: number;
  /** First sub-pixel row of the band. */
  readonly firstRow: number;
  readonly materials: readonly MaterialName[];
  /** One map per material, row-major, `width * rows` long, mm. */
  readonly maps: readonly Float32Array[];
  /**
   * The strongest sheet edge in each sub-pixel: what it covers (0: no edge), its thickness and material. There
   * transmission is averaged over the two sides, since the mean of exponentials is not the exponential of a mean.
   */
  readonly edgeShare: Float32Array;
  readonly edgeMm: Float32Array;
  readonly edgeMaterial: Uint8Array;
  /** Attenuation per mm of each material, to tell which edge is strongest. */
  readonly strengthPerMm: readonly number[];
}

/** Empties a band for new rows. */
export function clearBand(band: ThicknessBand): void {
  for (const map of band.maps) map.fill(0);
  band.edgeShare.fill(0);
  band.edgeMm.fill(0);
}

/** A window of the band: origin and size in sub-pixels, or null where nothing is inside. */
function windowOf(
  x0: number,
  y0: number,
  x1: number,
  y1: number,
  band: ThicknessBand,
): readonly [number, number, number, number] | null {
  const left = Math.max(0, Math.floor(x0));
  const top = Math.max(band.firstRow, Math.floor(y0));
  const right = Math.min(band.width, Math.ceil(x1));
  const bottom = Math.min(band.firstRow + band.rows, Math.ceil(y1));
  return right > left && bottom > top ? [left, top, right - left, bottom - top] : null;
}

/** Corners in sub-pixels measured from the outer corner of the first sub-pixel. */
function corners(outline: OutlineMm, zMm: number, project: Project, sub: number): Float64Array {
  const out = new Float64Array(outline.length * 2);
  for (let i = 0; i < outline.length; i++) {
    const [x, y] = project(outline[i], zMm);
    out[2 * i] = (x + 0.5) * sub;
    out[2 * i + 1] = (y + 0.5) * sub;
  }
  return out;
}

function addShares(
  outlines: readonly Float64Array[],
  left: number,
  top: number,
  w: number,
  h: number,
): Float32Array {
  const buffer = new CoverageBuffer(w, h);
  for (const outline of outlines) {
    const moved = new Float64Array(outline.length);
    for (let i = 0; i < outline.length; i += 2) {
      moved[i] = outline[i] - left;
      moved[i + 1] = outline[i + 1] - top;
    }
    buffer.addPolygon(moved);
  }
  return buffer.takeShares();
}

function addSheet(
  item: Sheet,
  placed: PlacedFeatures,
  band: ThicknessBand,
  material: number,
  sub: number,
): void {
  const map = band.maps[material];
  const outlines = item.outlines.map((o) => corners(o, item.zMm, placed.project, sub));
  let x0 = Number.POSITIVE_INFINITY;
  let y0 = Number.POSITIVE_INFINITY;
  let x1 = Number.NEGATIVE_INFINITY;
  let y1 = Number.NEGATIVE_INFINITY;
  for (const outline of outlines) {
    for (let i = 0; i < outline.length; i += 2) {
      x0 = Math.min(x0, outline[i]);
      x1 = Math.max(x1, outline[i]);
      y0 = Math.min(y0, outline[i + 1]);
      y1 = Math.max(y1, outline[i + 1]);
    }
  }
  const window = windowOf(x0, y0, x1, y1, band);
  if (window === null) return;
  const [left, top, w, h] = window;
  const shares = addShares(outlines, left, top, w, h);
  const holes =
    item.holes.length === 0
      ? null
      : addShares(
          item.holes.map((o) => corners(o, item.zMm, placed.project, sub)),
          left,
          top,
          w,
          h,
        );
  for (let y = 0; y < h; y++) {
    let from = y * (w + 2);
    let to = (top - band.firstRow + y) * band.width + left;
    for (let x = 0; x < w; x++, from++, to++) {
      let share = shares[from];
      if (share === 0) continue;
      if (holes !== null) share = Math.max(0, share - holes[from]);
      map[to] += share * item.thicknessMm;
      if (share > 0 && share < 1) {
        const before = Math.abs(band.edgeMm[to]) * band.strengthPerMm[band.edgeMaterial[to]];
        if (Math.abs(item.thicknessMm) * band.strengthPerMm[material] > before) {
          band.edgeShare[to] = share;
          band.edgeMm[to] = item.thicknessMm;
          band.edgeMaterial[to] = material;
        }
      }
    }
  }
}

/** Integral of the chord 2 sqrt(r^2 - u^2) from 0 to u. */
function chordIntegral(u: number, r: number): number {
  const v = Math.max(-r, Math.min(r, u));
  return v * Math.sqrt(r * r - v * v) + r * r * Math.asin(v / r);
}

function addWire(
  item: Wire,
  placed: PlacedFeatures,
  band: ThicknessBand,
  map: Float32Array,
  sub: number,
): void {
  const r = (item.diameterMm / 2) * placed.pxPerMm * sub;
  const mmPerSub = 1 / (placed.pxPerMm * sub);
  const reach = r + 1;
  const path = corners(item.pathMm, item.zMm, placed.project, sub);
  const xs = path.filter((_, i) => i % 2 === 0);
  const ys = path.filter((_, i) => i % 2 === 1);
  const window = windowOf(
    Math.min(...xs) - reach,
    Math.min(...ys) - reach,
    Math.max(...xs) + reach,
    Math.max(...ys) + reach,
    band,
  );
  if (window === null) return;
  const [left, top, w, h] = window;
  const nearest = new Float32Array(w * h).fill(Number.POSITIVE_INFINITY);
  for (let i = 0; i + 1 < xs.length; i++) {
    const dx = xs[i + 1] - xs[i];
    const dy = ys[i + 1] - ys[i];
    const length2 = dx * dx + dy * dy || 1;
    const rowFrom = Math.max(top, Math.floor(Math.min(ys[i], ys[i + 1]) - reach));
    const rowTo = Math.min(top + h, Math.ceil(Math.max(ys[i], ys[i + 1]) + reach));
    const colFrom = Math.max(left, Math.floor(Math.min(xs[i], xs[i + 1]) - reach));
    const colTo = Math.min(left + w, Math.ceil(Math.max(xs[i], xs[i + 1]) + reach));
    for (let y = rowFrom; y < rowTo; y++) {
      for (let x = colFrom; x < colTo; x++) {
        const px = x + 0.5 - xs[i];
        const py = y + 0.5 - ys[i];
        const t = Math.max(0, Math.min(1, (px * dx + py * dy) / length2));
        const d = Math.hypot(px - t * dx, py - t * dy);
        const at = (y - top) * w + x - left;
        if (d < nearest[at]) nearest[at] = d;
      }
    }
  }
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      const d = nearest[y * w + x];
      if (d >= r + 0.5) continue;
      const mean = chordIntegral(d + 0.5, r) - chordIntegral(d - 0.5, r);
      map[(top - band.firstRow + y) * band.width + left + x] += mean * mmPerSub;
    }
  }
}

function addBall(
  item: Ball,
  placed: PlacedFeatures,
  band: ThicknessBand,
  map: Float32Array,
  sub: number,
): void {
  const centre = corners([item.centreMm], item.zMm, placed.project, sub);
  const r = item.radiusMm * placed.pxPerMm * sub;
  const window = windowOf(centre[0] - r, centre[1] - r, centre[0] + r, centre[1] + r, band);
  if (window === null) return;
  const [left, top, w, h] = window;
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      let sum = 0;
      for (let k = 0; k < 4; k++) {
        const dx = left + x + 0.25 + 0.5 * (k & 1) - centre[0];
        const dy = top + y + 0.25 + 0.5 * (k >> 1) - centre[1];
        sum += Math.sqrt(Math.max(0, 1 - (dx * dx + dy * dy) / (r * r)));
      }
      map[(top - band.firstRow + y) * band.width + left + x] += (item.sign * 2 * item.halfHeightMm * sum) / 4;
    }
  }
}

/**
 * Adds the matter of placed features to a band.
 *
 * @param placed features and where they lie
 * @param band maps to add to, `sub` sub-pixels per pixel each way
 */
export function addThickness(placed: PlacedFeatures, band: ThicknessBand, sub: number): void {
  for (const feature of placed.features) {
    const material = band.materials.indexOf(feature.material);
    const map = band.maps[material];
    if (feature.kind === "sheet") addSheet(feature, placed, band, material, sub);
    else if (feature.kind === "wire") addWire(feature, placed, band, map, sub);
    else addBall(feature, placed, band, map, sub);
  }
}
