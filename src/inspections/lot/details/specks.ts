import { boxMean } from "../../../numeric/box-mean.ts";
import { labelComponents } from "../../../numeric/components.ts";
import { evenly } from "../../../numeric/evenly.ts";
import { dilateGrey } from "../../../numeric/grey-morphology.ts";
import type { BoxPx, Image, Mask } from "../../../numeric/image.ts";
import { createMask } from "../../../numeric/image.ts";
import { madsPerSigma, median } from "../../../numeric/order.ts";
import { stackQuantile } from "../../../numeric/stack-quantile.ts";

/** At which size small matter is looked for. */
export interface SpeckScale {
  /** Half widths of the box that is averaged and of the one around it that is taken off, px. */
  readonly ownPx: number;
  readonly aroundPx: number;
  /** How far what strays is held to reach, px. */
  readonly strayPx: number;
  /** A speck counts as no narrower than this when it is held against its length, px: blur makes lines that wide. */
  readonly leastWidthPx: number;
  /** Share of a speck's box that may be no even ground: of denser, and of lighter ones. */
  readonly mostOffGround: readonly [denser: number, lighter: number];
}

/** Something small that one part has and its group has not. */
export interface Speck {
  /** 1: denser, -1: lighter. */
  readonly sign: 1 | -1;
  /** Where it stands out by more than a third of its peak. */
  readonly boxPx: BoxPx;
  /** Attenuation of the peak over what is around it. */
  readonly by: number;
  /** The peak over the limit: from 1 on it is called. */
  readonly over: number;
}

export interface SpeckSearch {
  /** By part, the strongest first. */
  readonly specks: readonly (readonly Speck[])[];
  /** Attenuation over the averaged box at which a speck is called, middle over the parts. */
  readonly leastBy: number;
  /** The specks of a further residual, such as of a part in another pose, by what is known of the group. */
  specksIn(residual: Image): readonly Speck[];
}

/** Standard deviations of chance beyond which a place is looked at: 1e7 places of a lot give less than one. */
const leastSigma = 6.5;
/** What half of the parts show at their oddest place is the group's own; a call needs this many times as much. */
const leastOfUsual = 2;
/** Specks of one part that are looked at. */
const mostSpecks = 12;
const mostForSpread = 15;
/** Share of the parts within which what strays is told, and where that share of a normal spread lies. */
const strayShare = 0.85;
const strayOfSigma = 1.44;
/** A speck is no longer than this many times its width. */
const mostAspect = 2.5;
/** Share of a box that must be even ground for its mean to count. */
const leastGround = 0.5;
const leastGroundAround = 0.15;

/**
 * Looks for small matter in the residuals of a group's parts: means over a small box less those over a larger one
 * around it, both over even ground only, in units of how far the parts differ there by themselves.
 *
 * @param residuals part less average, of one size, by part
 * @param ground where the average is even
 * @param noise attenuation noise of one pixel
 * @param least attenuation over the averaged box below which nothing is called
 * @param step attenuation of the highest edges, metal over mould
 */
export function searchSpecks(
  residuals: readonly Image[],
  ground: Mask,
  size: SpeckScale,
  noise: number,
  least: number,
  step: number,
): SpeckSearch {
  const { ownPx, aroundPx, strayPx } = size;
  const { width, height } = ground;
  const selected = Float32Array.from(ground.data);
  const share = { width, height, data: selected };
  const [nearShare, farShare] = [boxMean(share, ownPx).data, boxMean(share, aroundPx).data];
  const [on, perNear, perFar] = grounded(selected, nearShare, farShare);
  const contrastOf = (residual: Image): Image => {
    const masked = new Float32Array(selected.length);
    for (let i = 0; i < masked.length; i++) if (selected[i]) masked[i] = residual.data[i] as number;
    const own = boxMean({ width, height, data: masked }, ownPx).data;
    const around = boxMean({ width, height, data: masked }, aroundPx).data;
    const data = new Float32Array(selected.length);
    for (let k = 0; k < on.length; k++) {
      const i = on[k] as number;
      const here = (own[i] as number) * (perNear[k] as number);
      const over = here - (around[i] as number) * (perFar[k] as number);
      // What stands out only because matter beside it is denser or lighter does not differ itself.
      if (here > 0) data[i] = Math.max(0, Math.min(over, 1.5 * here));
      else data[i] = Math.min(0, Math.max(over, 1.5 * here));
    }
    return { width, height, data };
  };
  const contrasts = residuals.map(contrastOf);
  const spread = spreadOf(contrasts, on, noise / (2 * ownPx + 1), strayPx);
  const peaksOf = ({ data }: Image, residual: Image) => peaks(data, spread, on, ground, residual, size, step);
  const found = contrasts.map((contrast, p) => peaksOf(contrast, residuals[p] as Image));
  const usual = leastOfUsual * median(found.map((of) => of[0]?.sigma ?? 0));
  const limit = Math.max(leastSigma, usual);
  const typical = on.length ? median(sampled(spread, on)) : 0;
  const specksOf = (of: readonly Peak[]): Speck[] =>
    of.map(({ sign, boxPx, by, mean, sigma }) => ({
      sign,
      boxPx,
      by,
      over: Math.min(sigma / limit, mean / least),
    }));
  return {
    specks: found.map(specksOf),
    leastBy: Math.max(least, limit * typical),
    specksIn: (residual) => specksOf(peaksOf(contrastOf(residual), residual)),
  };
}

/** The places that have enough even ground about them, and one over their two shares of it. */
function grounded(
  selected: Float32Array,
  near: Float32Array,
  far: Float32Array,
): [on: Int32Array, perNear: Float32Array, perFar: Float32Array] {
  const on: number[] = [];
  for (let i = 0; i < selected.length; i++) {
    if (selected[i] && (near[i] as number) > leastGround && (far[i] as number) > leastGroundAround)
      on.push(i);
  }
  return [
    Int32Array.from(on),
    Float32Array.from(on, (i) => 1 / (near[i] as number)),
    Float32Array.from(on, (i) => 1 / (far[i] as number)),
  ];
}

/** Every so many-th value is enough for a middle. */
const sampleStep = 13;

function sampled(values: Float32Array, on: Int32Array): Float32Array {
  const out = new Float32Array(Math.ceil(on.length / sampleStep));
  for (let k = 0; k < out.length; k++) out[k] = values[on[k * sampleStep] as number] as number;
  return out;
}

/** How far the parts differ at each place by themselves: robust standard deviation, no less than the ground's usual. */
function spreadOf(contrasts: readonly Image[], on: Int32Array, least: number, reachPx: number): Float32Array {
  const sizes = evenly(contrasts, mostForSpread).map(({ width, height, data }) => ({
    width,
    height,
    data: magnitudes(data),
  }));
  const middle = stackQuantile(sizes, 0.5);
  // Edges and wires that stray stand out in a few parts only.
  const strays = stackQuantile(sizes, strayShare).data;
  for (let i = 0; i < strays.length; i++)
    middle.data[i] = Math.max(
      madsPerSigma * (middle.data[i] as number),
      (strays[i] as number) / strayOfSigma,
    );
  const typical = on.length ? median(sampled(middle.data, on)) : 0;
  const spread = dilateGrey(middle, reachPx, "square").data;
  const floor = Math.max(least, typical);
  for (let i = 0; i < spread.length; i++) spread[i] = Math.max(floor, spread[i] as number);
  return spread;
}

function magnitudes(values: Float32Array): Float32Array {
  const out = new Float32Array(values.length);
  for (let i = 0; i < out.length; i++) out[i] = Math.abs(values[i] as number);
  return out;
}

interface Peak {
  readonly sign: 1 | -1;
  readonly boxPx: BoxPx;
  readonly by: number;
  /** Over the averaged box, unsigned. */
  readonly mean: number;
  readonly sigma: number;
}

function peaks(
  contrast: Float32Array,
  spread: Float32Array,
  on: Int32Array,
  ground: Mask,
  residual: Image,
  { ownPx, leastWidthPx, mostOffGround }: SpeckScale,
  step: number,
): Peak[] {
  const { width, height } = ground;
  const found: Peak[] = [];
  for (const sign of [1, -1] as const) {
    const out = createMask(width, height);
    let any = false;
    for (const i of on) {
      if (sign * (contrast[i] as number) <= leastSigma * (spread[i] as number)) continue;
      out.data[i] = 1;
      any = true;
    }
    if (!any) continue;
    const { labels, components } = labelComponents(out, 8);
    const best = components.map(() => ({ sigma: 0, at: -1 }));
    const index = new Map(components.map((c, k) => [c.label, k]));
    for (let i = 0; i < labels.length; i++) {
      if (!labels[i]) continue;
      const own = best[index.get(labels[i] as number) as number] as (typeof best)[number];
      const sigma = (sign * (contrast[i] as number)) / (spread[i] as number);
      if (sigma > own.sigma) Object.assign(own, { sigma, at: i });
    }
    for (const { sigma, at } of best) {
      if (at < 0) continue;
      const extent = extentOf(residual, at, sign, ownPx, leastWidthPx);
      // No edge that lies elsewhere adds more than its own step.
      const most = Math.abs(extent.by) > 1.2 * step ? 1 : mostOffGround[sign > 0 ? 0 : 1];
      if (extent.elongation > mostAspect) continue;
      if (isOnGround(extent.boxPx, ground, most))
        found.push({ sign, sigma, mean: Math.abs(contrast[at] as number), ...extent });
    }
  }
  return found.sort((p, q) => q.sigma - p.sigma).slice(0, mostSpecks);
}

/** Whether a place lies on even ground, not beside an edge that may lie a little elsewhere. */
function isOnGround([x0, y0, w, h]: BoxPx, ground: Mask, mostOffGround: number): boolean {
  let [off, all] = [0, 0];
  for (let y = y0 - 1; y <= y0 + h; y++) {
    for (let x = x0 - 1; x <= x0 + w; x++) {
      all++;
      if (x < 0 || y < 0 || x >= ground.width || y >= ground.height || !ground.data[y * ground.width + x])
        off++;
    }
  }
  return off <= mostOffGround * all;
}

/** How far a speck reaches from its peak along rows, columns and slants, down to a third of its height. */
function extentOf(
  { width, height, data }: Image,
  at: number,
  sign: 1 | -1,
  ownPx: number,
  leastWidthPx: number,
): { boxPx: BoxPx; by: number; elongation: number } {
  const [x0, y0] = [at % width, Math.floor(at / width)];
  let [px, py, by] = [x0, y0, 0];
  for (let y = Math.max(0, y0 - ownPx); y <= Math.min(height - 1, y0 + ownPx); y++) {
    for (let x = Math.max(0, x0 - ownPx); x <= Math.min(width - 1, x0 + ownPx); x++) {
      const v = sign * (data[y * width + x] as number);
      if (v > by) [px, py, by] = [x, y, v];
    }
  }
  const reach = (dx: number, dy: number): number => {
    let n = 0;
    while (n < 200) {
      const [x, y] = [px + (n + 1) * dx, py + (n + 1) * dy];
      if (x < 0 || y < 0 || x >= width || y >= height) break;
      if (!(sign * (data[y * width + x] as number) > by / 3)) break;
      n++;
    }
    return n;
  };
  const [left, right, up, down] = [reach(-1, 0), reach(1, 0), reach(0, -1), reach(0, 1)];
  const slant = [reach(-1, -1) + reach(1, 1), reach(-1, 1) + reach(1, -1)].map((n) => Math.SQRT2 * n + 1);
  const sides = [left + right + 1, up + down + 1, ...slant];
  const elongation = Math.max(...sides) / Math.max(leastWidthPx, Math.min(...sides));
  return { boxPx: [px - left, py - up, left + right + 1, up + down + 1], by: sign * by, elongation };
}
