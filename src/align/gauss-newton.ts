import type { Image } from "../numeric/image.ts";
import { quantile } from "../numeric/order.ts";
import { solveSymmetric } from "../numeric/solve.ts";
import type { AffineMap } from "./similarity.ts";
import { composeMaps, invertMap } from "./similarity.ts";

/**
 * The pixels of a reference picture that say where it lies: its steepest ones, with the derivative of
 * their value by turn, scale and shift. Made once per reference, used for every picture brought onto it.
 */
export interface AlignmentTemplate {
  readonly width: number;
  readonly height: number;
  readonly x: Float32Array;
  readonly y: Float32Array;
  readonly value: Float32Array;
  /** Four per pixel: by scale, turn, shift x, shift y. */
  readonly slope: Float32Array;
  readonly unitPx: number;
}

export interface Alignment {
  /** Reference pixel -> moving-picture pixel. */
  readonly map: AffineMap;
  /** Correlation of reference and moving picture over the template's pixels, -1..1. */
  readonly correlation: number;
  readonly iterations: number;
}

/**
 * Chooses the template pixels.
 *
 * @param share share of the reference's pixels to use, steepest first
 * @param mostPixels upper bound on their number (taken evenly)
 */
export function alignmentTemplate(reference: Image, share = 0.25, mostPixels = 20_000): AlignmentTemplate {
  const { width, height, data } = reference;
  const steepness = new Float32Array(width * height);
  for (let y = 1; y < height - 1; y++) {
    for (let x = 1; x < width - 1; x++) {
      const i = y * width + x;
      const gx = (data[i + 1] as number) - (data[i - 1] as number);
      const gy = (data[i + width] as number) - (data[i - width] as number);
      const g = gx * gx + gy * gy;
      steepness[i] = Number.isNaN(g) ? 0 : g;
    }
  }
  const limit = quantile(steepness, 1 - share);
  const chosen: number[] = [];
  for (let i = 0; i < steepness.length; i++) {
    if ((steepness[i] as number) > limit && !Number.isNaN(data[i])) chosen.push(i);
  }
  const every = Math.max(1, chosen.length / mostPixels);
  const count = Math.floor(chosen.length / every);
  const unitPx = Math.max(width, height) / 2;
  const template = {
    width,
    height,
    x: new Float32Array(count),
    y: new Float32Array(count),
    value: new Float32Array(count),
    slope: new Float32Array(4 * count),
    unitPx,
  };
  const cx = (width - 1) / 2;
  const cy = (height - 1) / 2;
  for (let k = 0; k < count; k++) {
    const i = chosen[Math.floor(k * every)] as number;
    const x = i % width;
    const y = (i - x) / width;
    const gx = 0.5 * ((data[i + 1] as number) - (data[i - 1] as number));
    const gy = 0.5 * ((data[i + width] as number) - (data[i - width] as number));
    const u = (x - cx) / unitPx;
    const v = (y - cy) / unitPx;
    template.x[k] = x;
    template.y[k] = y;
    template.value[k] = data[i] as number;
    template.slope[4 * k] = gx * u + gy * v;
    template.slope[4 * k + 1] = gy * u - gx * v;
    template.slope[4 * k + 2] = gx;
    template.slope[4 * k + 3] = gy;
  }
  return template;
}

/**
 * Brings `moving` onto the template by inverse-compositional Gauss-Newton over shift, turn and uniform
 * scale (a mirror in `start` is kept). Gain and offset of the grey values are free; pixels that fit
 * badly count less (Tukey's biweight), so that a part that differs in places still aligns by the rest.
 *
 * @param start reference pixel -> moving pixel, close enough to slide (a few pixels at this size)
 * @see Baker and Matthews, Lucas-Kanade 20 years on, IJCV 56 (2004), for the scheme
 */
export function alignGaussNewton(
  template: AlignmentTemplate,
  moving: Image,
  start: AffineMap,
  options: {
    readonly iterations?: number;
    readonly fixedScale?: boolean;
    readonly fixedTurn?: boolean;
    /** A step below this is the last, px of the template. */
    readonly leastStepPx?: number;
  } = {},
): Alignment {
  const most = options.iterations ?? 20;
  const leastStepPx = options.leastStepPx ?? 0.002;
  const count = template.x.length;
  const sampled = new Float32Array(count);
  const weight = new Float32Array(count);
  let map = start;
  let iterations = 0;
  let before: Step | null = null;
  for (; iterations < most; iterations++) {
    const fit = compareValues(template, moving, map, sampled, weight);
    if (!fit) break;
    const step = solveStep(template, sampled, weight, fit, options);
    if (!step) break;
    const moved = Math.hypot(step[2], step[3]) + Math.hypot(step[0], step[1]);
    const whole: Step = before && moved < nearPx ? lengthened(step, before) : step;
    map = composeMaps(map, stepInverse(template, whole));
    before = whole === step ? step : null;
    if (moved < leastStepPx) {
      iterations++;
      break;
    }
  }
  const fit = compareValues(template, moving, map, sampled, weight);
  return { map, correlation: fit?.correlation ?? -1, iterations };
}

interface ValueFit {
  readonly gain: number;
  readonly offset: number;
  readonly scale: number;
  readonly correlation: number;
}

/** Samples the moving picture, fits gain and offset, sets weights. Null when too little overlaps. */
function compareValues(
  template: AlignmentTemplate,
  moving: Image,
  map: AffineMap,
  sampled: Float32Array,
  weight: Float32Array,
): ValueFit | null {
  const { x, y, value } = template;
  const { width, height, data } = moving;
  const count = x.length;
  let n = 0;
  let sm = 0;
  let sr = 0;
  let smm = 0;
  let srr = 0;
  let smr = 0;
  const { a: ma, b: mb, c: mc, d: md, e: me, f: mf } = map;
  const lastX = width - 1;
  const lastY = height - 1;
  for (let k = 0; k < count; k++) {
    const xk = x[k] as number;
    const yk = y[k] as number;
    const u = ma * xk + mb * yk + mc;
    const v = md * xk + me * yk + mf;
    if (!(u >= 0 && v >= 0 && u < lastX && v < lastY)) {
      sampled[k] = Number.NaN;
      continue;
    }
    const iu = u | 0;
    const iv = v | 0;
    const fu = u - iu;
    const fv = v - iv;
    const p = iv * width + iu;
    const a = data[p] as number;
    const b = data[p + width] as number;
    const top = a + fu * ((data[p + 1] as number) - a);
    const bottom = b + fu * ((data[p + width + 1] as number) - b);
    const m = top + fv * (bottom - top);
    sampled[k] = m;
    if (Number.isNaN(m)) continue;
    const r = value[k] as number;
    n++;
    sm += m;
    sr += r;
    smm += m * m;
    srr += r * r;
    smr += m * r;
  }
  if (n < Math.max(12, 0.4 * count)) return null;
  const mm = sm / n;
  const mr = sr / n;
  const varM = smm / n - mm * mm;
  const varR = srr / n - mr * mr;
  if (!(varM > 0 && varR > 0)) return null;
  const correlation = (smr / n - mm * mr) / Math.sqrt(varM * varR);
  // Gain by the ratio of spreads: unlike regression it is not shrunk while the pictures still disagree.
  const gain = Math.sqrt(varR / varM);
  const offset = mr - gain * mm;
  let squares = 0;
  for (let k = 0; k < count; k++) {
    const m = sampled[k] as number;
    if (Number.isNaN(m)) continue;
    const e = gain * m + offset - (value[k] as number);
    squares += Math.min(e * e, varR);
  }
  const scale = Math.sqrt(squares / n) + 1e-9;
  const cut = 3 * scale;
  for (let k = 0; k < count; k++) {
    const m = sampled[k] as number;
    if (Number.isNaN(m)) {
      weight[k] = 0;
      continue;
    }
    const t = (gain * m + offset - (value[k] as number)) / cut;
    const s = 1 - t * t;
    weight[k] = s > 0 ? s * s : 0;
  }
  return { gain, offset, scale, correlation };
}

type Step = readonly [scale: number, turn: number, x: number, y: number];

function solveStep(
  template: AlignmentTemplate,
  sampled: Float32Array,
  weight: Float32Array,
  fit: ValueFit,
  held: { readonly fixedScale?: boolean; readonly fixedTurn?: boolean },
): Step | null {
  const { slope, value } = template;
  const { gain, offset } = fit;
  // Sums in variables of their own: kept in registers, where array elements would go through memory at each pixel.
  let g0 = 0;
  let g1 = 0;
  let g2 = 0;
  let g3 = 0;
  let h00 = 0;
  let h01 = 0;
  let h02 = 0;
  let h03 = 0;
  let h11 = 0;
  let h12 = 0;
  let h13 = 0;
  let h22 = 0;
  let h23 = 0;
  let h33 = 0;
  for (let k = 0, o = 0; k < value.length; k++, o += 4) {
    const w = weight[k] as number;
    if (w === 0) continue;
    const e = gain * (sampled[k] as number) + offset - (value[k] as number);
    const j0 = slope[o] as number;
    const j1 = slope[o + 1] as number;
    const j2 = slope[o + 2] as number;
    const j3 = slope[o + 3] as number;
    const w0 = w * j0;
    const w1 = w * j1;
    const w2 = w * j2;
    const w3 = w * j3;
    g0 += w0 * e;
    g1 += w1 * e;
    g2 += w2 * e;
    g3 += w3 * e;
    h00 += w0 * j0;
    h01 += w0 * j1;
    h02 += w0 * j2;
    h03 += w0 * j3;
    h11 += w1 * j1;
    h12 += w1 * j2;
    h13 += w1 * j3;
    h22 += w2 * j2;
    h23 += w2 * j3;
    h33 += w3 * j3;
  }
  const g = Float64Array.of(g0, g1, g2, g3);
  const h = Float64Array.of(
    ...[h00, h01, h02, h03],
    ...[h01, h11, h12, h13],
    ...[h02, h12, h22, h23],
    ...[h03, h13, h23, h33],
  );
  if (held.fixedScale) hold(h, g, 0);
  if (held.fixedTurn) hold(h, g, 1);
  try {
    const p = solveSymmetric(h, g);
    return [p[0] as number, p[1] as number, p[2] as number, p[3] as number];
  } catch {
    return null;
  }
}

/** Steps below this are taken to end where they head for: longer ones may still turn, px. */
const nearPx = 0.1;
/** A step is lengthened by its followers up to this many times. */
const mostLengthening = 4;

/**
 * Noise in the template's slopes makes every step too short by about the same factor: the steps that would follow are
 * a geometric series, taken at once (Aitken).
 */
function lengthened(step: Step, before: Step): Step {
  let along = 0;
  let square = 0;
  for (let k = 0; k < 4; k++) {
    along += (step[k] as number) * (before[k] as number);
    square += (before[k] as number) ** 2;
  }
  const ratio = along / square;
  if (!(ratio > 0.1)) return step;
  const times = 1 / Math.max(1 / mostLengthening, 1 - ratio);
  return [times * step[0], times * step[1], times * step[2], times * step[3]];
}

/** Takes one parameter out of the equations: its step comes out as 0. */
function hold(h: Float64Array, g: Float64Array, parameter: number): void {
  for (let c = 0; c < 4; c++) {
    h[4 * parameter + c] = 0;
    h[4 * c + parameter] = 0;
  }
  h[5 * parameter] = 1;
  g[parameter] = 0;
}

/** Inverse of the small similarity (about the template's centre) that a step describes. */
function stepInverse(template: AlignmentTemplate, [scale, turn, x, y]: Step): AffineMap {
  const cx = (template.width - 1) / 2;
  const cy = (template.height - 1) / 2;
  const s = scale / template.unitPx;
  const t = turn / template.unitPx;
  const a = 1 + s;
  const b = -t;
  const d = t;
  const e = 1 + s;
  return invertMap({ a, b, c: x + cx - a * cx - b * cy, d, e, f: y + cy - d * cx - e * cy });
}
