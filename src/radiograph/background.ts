import { RangeOfArgumentError, SingularError } from "../numeric/errors.ts";
import type { Image, Mask } from "../numeric/image.ts";
import { createMask } from "../numeric/image.ts";
import type { Surface } from "../numeric/polynomial-surface.ts";
import { fitSurfaceAt } from "../numeric/polynomial-surface.ts";
import { cellQuantiles } from "./cell-quantiles.ts";

/** The open beam I0 over the picture, in transmission grey (larger = more transmission). */
export interface Background {
  readonly kind: "fitted" | "none";
  readonly greyMean: number;
  /** Share of the picture seen as open beam. */
  readonly share: number;
  /** True when the open beam is clipped, so that I0 is only known to be at least `greyMean`. */
  readonly saturated: boolean;
  /** I0 in cell coordinates of the reduced picture; null when it is one number. */
  readonly surface: Surface | null;
}

/** Open beam fills at least this share of the cells, or there is none. */
const LEAST_SHARE = 0.01;
/** A clipped plateau of at least this share is taken for saturated open beam. */
const LEAST_CLIPPED_SHARE = 0.02;
/** Half width of the mode looked for, as a share of its grey. */
const MODE_WIDTH = 0.012;
/**
 * Cells join the field when no further below or above it than these shares of it, or three of their own
 * sigma: what is a little dimmer may be a pocket wall, what is a little brighter only open beam.
 */
const BELOW_SHARE = 0.008;
const ABOVE_SHARE = 0.024;
/** Share of cells that may be brighter than the field (holes, glare) before it is no longer the open beam. */
const BRIGHTER_SHARE = 0.1;
const BRIGHTER_FACTOR = 1.04;
/** Steps between cells, as shares of the brightest, up to which a cell is even: in a field, in gaps between parts. */
const SMOOTH_STEP = 0.004;
const GAPS_STEP = 0.02;
/** Cells brighter than the field by this share are looked at for an open beam above it, where they fill this much. */
const BRIGHTER_MODE = 0.025;
const GAPS_SHARE = 0.03;
/** A field that falls below this share of its mode isn't a beam. */
const LOWEST_FIELD = 0.3;
const ROUNDS = 5;
/** Reweightings of a fit from which cells are only collected anew. */
const EARLY_FIT_ROUNDS = 4;
/** The fit takes at most this many cells from each tile of a grid of so many a side. */
const FIT_TILES = 8;
const FIT_CELLS_PER_TILE = 24;

/**
 * Finds the open beam in a reduced transmission picture.
 *
 * The brightest well-filled mode of the smooth cells seeds it; a robust low-order surface is fitted
 * to the cells near the mode and the cells near the surface are collected anew, so that shading is
 * followed but parts, pocket walls and dust stay out. The surface's degree grows only with how far
 * the collected cells spread over the picture: it never bends through what they don't cover.
 *
 * @param cells mean transmission grey per cell; cells that are no number are left out
 * @param clipped 1 where a cell lies wholly at the bright clip level
 * @param clipGrey that level in transmission grey, or null
 * @param sigmaGrey noise of a cell mean
 */
export function findBackground(
  cells: Image,
  clipped: Mask | null,
  clipGrey: number | null,
  sigmaGrey: number,
): Background {
  const n = cells.data.length;
  if (clipped !== null && clipGrey !== null) {
    let count = 0;
    for (const c of clipped.data) count += c;
    if (count >= LEAST_CLIPPED_SHARE * n) {
      return { kind: "fitted", greyMean: clipGrey, share: count / n, saturated: true, surface: null };
    }
  }
  const [top] = cellQuantiles(cells.data, [0.995]);
  const none: Background = { kind: "none", greyMean: top, share: 0, saturated: false, surface: null };
  if (!(top > 0)) return none;
  const smooth = smoothCells(cells, Math.max(4 * sigmaGrey, SMOOTH_STEP * top));
  const mode = brightestMode(cells, smooth, top);
  if (mode === null) return none;
  const first = fitFrom(cells, smooth, mode, sigmaGrey);
  // Nothing transmits more than the open beam: where a good share does, the mode was even matter before it. What is
  // left of the open beam are gaps too narrow to be quite even.
  const least = mode + Math.max(BRIGHTER_MODE * mode, 5 * sigmaGrey);
  if (first !== null && shareAbove(cells, first.field, 1 + BRIGHTER_MODE) > GAPS_SHARE) {
    const even = smoothCells(cells, Math.max(4 * sigmaGrey, GAPS_STEP * top));
    for (let i = 0; i < n; i++) if (!(cells.data[i] > least)) even.data[i] = 0;
    const brighter = brightestMode(cells, even, top);
    const second = brighter === null ? null : fitFrom(cells, even, brighter, sigmaGrey);
    if (second !== null && shareAbove(cells, second.field, 1 + BRIGHTER_MODE) <= GAPS_SHARE)
      return resultOf(second);
  }
  if (first === null || shareAbove(cells, first.field, BRIGHTER_FACTOR) > BRIGHTER_SHARE) return none;
  return resultOf(first);
}

interface FittedField {
  readonly surface: Surface;
  readonly field: Float32Array;
  readonly share: number;
}

/** Fits the field from a mode on; null where too few cells hold it or it falls off as no beam does. */
function fitFrom(cells: Image, smooth: Mask, mode: number, sigmaGrey: number): FittedField | null {
  const n = cells.data.length;
  const field = new Float32Array(n).fill(mode);
  const below = Math.max(BELOW_SHARE * mode, 3 * sigmaGrey);
  const above = Math.max(ABOVE_SHARE * mode, 3 * sigmaGrey);
  let chosen = collect(cells, smooth, field, above, above);
  let surface: Surface | null = null;
  for (let round = 0; round < ROUNDS; round++) {
    if (countOf(chosen) < LEAST_SHARE * n) return null;
    const degree = Math.min(spreadDegree(chosen), round < 2 ? 1 : 2);
    surface = surfaceOf(cells, balanced(chosen), degree, round < ROUNDS - 1 ? EARLY_FIT_ROUNDS : undefined);
    renderInto(surface, field);
    chosen = collect(cells, smooth, field, below, above);
  }
  let lowest = Number.POSITIVE_INFINITY;
  for (let i = 0; i < n; i++) lowest = Math.min(lowest, field[i]);
  return surface === null || lowest < LOWEST_FIELD * mode
    ? null
    : { surface, field, share: countOf(chosen) / n };
}

function resultOf({ surface, field, share }: FittedField): Background {
  let sum = 0;
  for (let i = 0; i < field.length; i++) sum += field[i];
  return { kind: "fitted", greyMean: sum / field.length, share, saturated: false, surface };
}

/** Share of the cells that are brighter than the field times a factor. */
function shareAbove(cells: Image, field: Float32Array, factor: number): number {
  let count = 0;
  for (let i = 0; i < field.length; i++) if (cells.data[i] > factor * field[i]) count++;
  return count / field.length;
}

/** A surface of the degree that the selection can fix: cells all in line, or few of them, carry no slope across. */
function surfaceOf(cells: Image, picked: Int32Array, degree: number, rounds?: number): Surface {
  try {
    return fitSurfaceAt(cells, picked, degree, rounds);
  } catch (error) {
    const unfixed = error instanceof SingularError || error instanceof RangeOfArgumentError;
    if (degree === 0 || !unfixed) throw error;
    return surfaceOf(cells, picked, degree - 1, rounds);
  }
}

/** A thinned selection, in raster order, in which a large empty area has no more say than the gaps between parts. */
function balanced(chosen: Mask): Int32Array {
  const { width, height, data } = chosen;
  const thin = new Int32Array(FIT_TILES ** 2 * (FIT_CELLS_PER_TILE + 1));
  let picked = 0;
  const inTile = new Int32Array(Math.ceil(width / FIT_TILES) * Math.ceil(height / FIT_TILES));
  const edge = (tile: number, length: number) => Math.floor((tile * length) / FIT_TILES);
  for (let ty = 0; ty < FIT_TILES; ty++) {
    for (let tx = 0; tx < FIT_TILES; tx++) {
      let count = 0;
      const bottom = edge(ty + 1, height);
      const left = edge(tx, width);
      const right = edge(tx + 1, width);
      for (let y = edge(ty, height); y < bottom; y++) {
        for (let i = y * width + left; i < y * width + right; i++) if (data[i] === 1) inTile[count++] = i;
      }
      const stride = Math.max(1, count / FIT_CELLS_PER_TILE);
      for (let k = 0; k < count; k += stride) thin[picked++] = inTile[Math.floor(k)];
    }
  }
  return thin.subarray(0, picked).sort();
}

/** Values of a surface of degree 0 to 2 over all cells. */
function renderInto(surface: Surface, field: Float32Array): void {
  const { width, height, degree } = surface;
  const c = surface.coefficients;
  for (let y = 0; y < height; y++) {
    const v = height > 1 ? (2 * y) / (height - 1) - 1 : 0;
    const constant = c[0] + (degree >= 1 ? c[2] * v : 0) + (degree >= 2 ? c[5] * v * v : 0);
    const linear = (degree >= 1 ? c[1] : 0) + (degree >= 2 ? c[4] * v : 0);
    const square = degree >= 2 ? c[3] : 0;
    for (let x = 0; x < width; x++) {
      const u = width > 1 ? (2 * x) / (width - 1) - 1 : 0;
      field[y * width + x] = constant + (linear + square * u) * u;
    }
  }
}

function smoothCells(cells: Image, limit: number): Mask {
  const { width, height, data } = cells;
  const smooth = createMask(width, height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      const left = data[x > 0 ? i - 1 : i];
      const right = data[x < width - 1 ? i + 1 : i];
      const up = data[y > 0 ? i - width : i];
      const down = data[y < height - 1 ? i + width : i];
      if (Math.abs(right - left) <= limit && Math.abs(down - up) <= limit) smooth.data[i] = 1;
    }
  }
  return smooth;
}

/** Grey of the brightest local maximum of the smooth cells' distribution that holds enough of them. */
function brightestMode(cells: Image, smooth: Mask, top: number): number | null {
  const bins = 400;
  const binGrey = (1.1 * top) / bins;
  const counts = new Float64Array(bins + 1);
  for (let i = 0; i < cells.data.length; i++) {
    if (smooth.data[i] === 0) continue;
    const bin = Math.floor(cells.data[i] / binGrey);
    if (bin >= 0 && bin <= bins) counts[bin]++;
  }
  const reach = (bin: number): number => Math.max(1, Math.round(MODE_WIDTH * bin));
  const mass = new Float64Array(bins + 1);
  for (let bin = 0; bin <= bins; bin++) {
    for (let k = Math.max(0, bin - reach(bin)); k <= Math.min(bins, bin + reach(bin)); k++)
      mass[bin] += counts[k];
  }
  for (let bin = bins; bin > 0; bin--) {
    if (mass[bin] < LEAST_SHARE * cells.data.length) continue;
    let best = bin;
    for (let k = bin; k >= Math.max(0, bin - 3 * reach(bin)); k--) if (mass[k] > mass[best]) best = k;
    return (best + 0.5) * binGrey;
  }
  return null;
}

function collect(cells: Image, smooth: Mask, field: Float32Array, below: number, above: number): Mask {
  const chosen = createMask(cells.width, cells.height);
  const into = chosen.data;
  const values = cells.data;
  const even = smooth.data;
  for (let i = 0; i < field.length; i++) {
    const over = values[i] - field[i];
    into[i] = even[i] === 1 && over >= -below && over <= above ? 1 : 0;
  }
  return chosen;
}

/** Degree that the selection's spread can carry: how many tiles of a 5 x 5 grid hold some of it. */
function spreadDegree(chosen: Mask): 0 | 1 | 2 {
  const { width, height, data } = chosen;
  const tiles = new Float64Array(25);
  for (let y = 0; y < height; y++) {
    const row = Math.floor((5 * y) / height) * 5;
    for (let column = 0; column < 5; column++) {
      let sum = 0;
      const end = y * width + Math.ceil(((column + 1) * width) / 5);
      for (let i = y * width + Math.ceil((column * width) / 5); i < end; i++) sum += data[i];
      tiles[row + column] += sum;
    }
  }
  const enough = (0.03 * data.length) / 25;
  const filled = tiles.filter((t) => t >= enough).length;
  return filled >= 14 ? 2 : filled >= 7 ? 1 : 0;
}

function countOf({ data }: Mask): number {
  let n = 0;
  for (let i = 0; i < data.length; i++) n += data[i];
  return n;
}
