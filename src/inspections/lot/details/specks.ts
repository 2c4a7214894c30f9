import { boxMean } from "../../../numeric/box-mean.ts";
import { labelComponents } from "../../../numeric/components.ts";
import { evenly } from "../../../numeric/evenly.ts";
import { dilateGrey } from "../../../numeric/grey-morphology.ts";
import type { BoxPx, Image, Mask } from "../../../numeric/image.ts";
import { createMask } from "../../../numeric/image.ts";
import { median, quantile } from "../../../numeric/order.ts";
import { stackQuantile } from "../../../numeric/stack-quantile.ts";

/** At which size small matter is looked for. */
export interface SpeckScale {
  /** Half widths of the box that is averaged and of the one around it that is taken off, px. */
  readonly ownPx: number;
  readonly aroundPx: number;
  /** How far what strays is held to reach, px. */
  readonly strayPx: number;
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
  const contrastOf = (residual: Image): Image => {
    const masked = new Float32Array(selected.length);
    for (let i = 0; i < masked.length; i++) {
      if (selected[i]) masked[i] = residual.data[i] as number;
    }
    const own = boxMean({ width, height, data: masked }, ownPx).data;
    const around = boxMean({ width, height, data: masked }, aroundPx).data;
    for (let i = 0; i < masked.length; i++) {
      const enough = selected[i] && (nearShare[i] as number) > leastGround && (farShare[i] as number) > 0.15;
      if (!enough) {
        masked[i] = 0;
        continue;
      }
      const here = (own[i] as number) / (nearShare[i] as number);
      const over = here - (around[i] as number) / (farShare[i] as number);
      // What stands out only because matter beside it is denser or lighter does not differ itself.
      masked[i] =
        Math.sign(here) === Math.sign(over)
          ? Math.sign(over) * Math.min(Math.abs(over), 1.5 * Math.abs(here))
          : 0;
    }
    return { width, height, data: masked };
  };
  const contrasts = residuals.map(contrastOf);
  const spread = spreadOf(contrasts, selected, noise / (2 * ownPx + 1), strayPx);
  const found = contrasts.map(({ data }, p) =>
    peaks(data, spread, ground, residuals[p] as Image, size, step),
  );
  const usual = leastOfUsual * median(found.map((of) => of[0]?.sigma ?? 0));
  const limit = Math.max(leastSigma, usual);
  const typical = median(Float32Array.from(spread.filter((_, i) => selected[i])));
  return {
    specks: found.map((of) =>
      of.map(({ sign, boxPx, by, mean, sigma }) => ({
        sign,
        boxPx,
        by,
        over: Math.min(sigma / limit, mean / least),
      })),
    ),
    leastBy: Math.max(least, limit * typical),
  };
}

/** How far the parts differ at each place by themselves: robust standard deviation, no less than the ground's usual. */
function spreadOf(
  contrasts: readonly Image[],
  selected: Float32Array,
  least: number,
  reachPx: number,
): Float32Array {
  const sizes = evenly(contrasts, mostForSpread).map(({ width, height, data }) => ({
    width,
    height,
    data: data.map(Math.abs),
  }));
  const middle = stackQuantile(sizes, 0.5);
  // Edges and wires that stray stand out in a few parts only.
  const strays = stackQuantile(sizes, strayShare).data;
  const seen: number[] = [];
  for (let i = 0; i < strays.length; i++) {
    middle.data[i] = Math.max(1.4826 * (middle.data[i] as number), (strays[i] as number) / strayOfSigma);
    if (selected[i]) seen.push(middle.data[i] as number);
  }
  const spread = dilateGrey(middle, reachPx, "square").data;
  const floor = Math.max(least, seen.length ? quantile(seen, 0.5) : 0);
  for (let i = 0; i < spread.length; i++) spread[i] = Math.max(floor, spread[i] as number);
  return spread;
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
  ground: Mask,
  residual: Image,
  { ownPx, mostOffGround }: SpeckScale,
  step: number,
): Peak[] {
  const { width, height } = ground;
  const found: Peak[] = [];
  for (const sign of [1, -1] as const) {
    const out = createMask(width, height);
    for (let i = 0; i < out.data.length; i++)
      out.data[i] = sign * (contrast[i] as number) > 0.6 * leastSigma * (spread[i] as number) ? 1 : 0;
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
      const extent = extentOf(residual, at, sign, ownPx);
      // No edge that lies elsewhere adds more than its own step.
      const most = Math.abs(extent.by) > 1.2 * step ? 1 : mostOffGround[sign > 0 ? 0 : 1];
      if (isCompact(extent.boxPx, ground, most))
        found.push({ sign, sigma, mean: Math.abs(contrast[at] as number), ...extent });
    }
  }
  return found.sort((p, q) => q.sigma - p.sigma).slice(0, mostSpecks);
}

/** Whether a place is no edge that lies elsewhere: nearly as wide as long, and not beside what is uneven. */
function isCompact([x0, y0, w, h]: BoxPx, ground: Mask, mostOffGround: number): boolean {
  if (Math.max(w, h) > mostAspect * Math.max(2, Math.min(w, h))) return false;
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

/** How far a speck reaches from its peak along rows and columns, down to a third of its height. */
function extentOf(
  { width, height, data }: Image,
  at: number,
  sign: 1 | -1,
  ownPx: number,
): { boxPx: BoxPx; by: number } {
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
  return { boxPx: [px - left, py - up, left + right + 1, up + down + 1], by: sign * by };
}
