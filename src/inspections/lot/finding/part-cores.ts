import type { Component } from "../../../numeric/components.ts";
import { connectedRuns, labelComponents } from "../../../numeric/components.ts";
import type { Image, Mask } from "../../../numeric/image.ts";
import { distanceTransform } from "../../../numeric/morphology.ts";
import { median } from "../../../numeric/order.ts";
import type { LevelCut, Piece } from "./part-levels.ts";

/** Shares of the deepest erosion at which as many cores must stand. */
const standsAt = [0.5, 0.65, 0.8] as const;
/** A core counts when it has this share of the largest core's area. */
const leastCoreShare = 0.3;
/** Parts are equal when their areas lie within this factor of the median. */
const equalFactor = 1.12;
/** Holes up to this area are noise, not the gap between parts, px of the reduced picture. */
const noiseHolePx = 9;

/** Parts that touch, taken apart. */
export interface PartedCores {
  /** Erosion radius at which their bodies stand apart, px of the reduced picture. */
  readonly radiusPx: number;
  /** The cut with one label a part: what lies nearest to its core, going through matter. */
  readonly cut: LevelCut;
  readonly parts: readonly Piece[];
  /** Parts free of the picture's border, and their median area. */
  readonly count: number;
  readonly unitAreaPx: number;
}

/**
 * Parts that touch make one piece at the level at which their bodies end, joined by what is thinner than a body:
 * leads, tie bars, flash. Eroding it breaks the joints first, so over a range of radii one core a body stands.
 *
 * @param standing pieces that stand at the level at which the bodies end, when `cut` is at another
 * @returns null when no more cores than those stand, or when what stands is not equal parts
 */
export function partTouching(cut: LevelCut, standing = standingPieces(cut)): PartedCores | null {
  const solid = withoutNoiseHoles(cut.mask);
  const depth = distanceTransform(solid);
  const deepest = deepestInside(depth);
  if (!(deepest > 3)) return null;
  const count = coreCount(depth, standsAt[0] * deepest);
  if (count <= standing || standsAt.some((share) => coreCount(depth, share * deepest) !== count)) return null;
  // Just thicker than the joints: a part of which the picture's edge leaves little still has its core.
  let radiusPx = standsAt[0] * deepest;
  while (radiusPx > 1.2 && coreCount(depth, radiusPx / 1.2) === count) radiusPx /= 1.2;
  const parted = partAroundCores(cut, solid, depth, Math.min(1.2 * radiusPx, standsAt[0] * deepest));
  const alike = parted.parts.filter(
    (p) => !p.touchesBorder && Math.abs(Math.log(p.areaPx / parted.unitAreaPx)) < Math.log(equalFactor),
  );
  return parted.count >= 1 && parted.parts.length > 1 && alike.length >= 0.8 * parted.count ? parted : null;
}

/** Pieces of some size that are free of the border. */
export function standingPieces({ pieces, unitAreaPx }: LevelCut): number {
  return pieces.filter((p) => !p.touchesBorder && p.filledPx >= leastCoreShare * unitAreaPx).length;
}

/** The mask with the holes filled that noise leaves: those between parts stay. */
export function withoutNoiseHoles(mask: Mask): Mask {
  const { components, row, start, end, label } = connectedRuns(mask, 4, false);
  const data = Uint8Array.from(mask.data);
  for (let run = 0; run < row.length; run++) {
    const hole = components[(label[run] as number) - 1] as Component;
    if (hole.touchesBorder || hole.areaPx > noiseHolePx) continue;
    const base = (row[run] as number) * mask.width;
    data.fill(1, base + (start[run] as number), base + (end[run] as number));
  }
  return { width: mask.width, height: mask.height, data };
}

/** Largest depth, taking the picture's border for an edge: a body that the border cuts is no deeper than a whole one. */
function deepestInside({ width, height, data }: Image): number {
  let deepest = 0;
  for (let y = 0; y < height; y++) {
    const toBorder = Math.min(y, height - 1 - y);
    for (let x = 0; x < width; x++) {
      const depth = Math.min(data[y * width + x] as number, toBorder + 1, x + 1, width - x);
      if (depth > deepest) deepest = depth;
    }
  }
  return deepest;
}

/** Cores of some size that are free of the border. */
function coreCount(depth: Image, radiusPx: number): number {
  const free = connectedRuns(deeperThan(depth, radiusPx), 4).components.filter((c) => !c.touchesBorder);
  const largest = free.reduce((m, c) => Math.max(m, c.areaPx), 0);
  return free.filter((c) => c.areaPx >= leastCoreShare * largest).length;
}

function deeperThan({ width, height, data }: Image, radiusPx: number): Mask {
  const deeper = new Uint8Array(data.length);
  for (let i = 0; i < data.length; i++) deeper[i] = (data[i] as number) > radiusPx ? 1 : 0;
  return { width, height, data: deeper };
}

function partAroundCores(cut: LevelCut, solid: Mask, depth: Image, radiusPx: number): PartedCores {
  const { labels, components } = labelComponents(deeperThan(depth, radiusPx), 4);
  const largest = components.reduce((m, c) => (c.touchesBorder ? m : Math.max(m, c.areaPx)), 0);
  const owner = new Int32Array(components.length + 1);
  let owners = 0;
  for (const c of components) {
    if (c.areaPx >= (c.touchesBorder ? 0.1 : 1) * leastCoreShare * largest) owner[c.label] = ++owners;
  }
  const seeds = labels.map((label) => owner[label] as number);
  return { ...ownedParts(cut, flood(solid, seeds), owners), radiusPx };
}

/** A cut by the owners of its pixels, numbered from 1 to `count`. */
export function ownedParts(cut: LevelCut, owned: Int32Array, count: number): Omit<PartedCores, "radiusPx"> {
  const parts = ownedPieces(cut.mask, owned, count);
  const free = parts.filter((p) => !p.touchesBorder);
  const unitAreaPx = free.length ? median(free.map((p) => p.filledPx)) : 0;
  return { cut: { ...cut, labels: owned }, parts, count: free.length, unitAreaPx };
}

/** Gives every pixel of a mask to the seed nearest through the mask (breadth first, 4 neighbours); 0: none reaches it. */
export function flood(mask: Mask, seeds: Int32Array): Int32Array {
  const { width, height, data } = mask;
  const owners = new Int32Array(data.length);
  const queue = new Int32Array(data.length);
  let tail = 0;
  for (let i = 0; i < data.length; i++) {
    if (!seeds[i]) continue;
    owners[i] = seeds[i] as number;
    queue[tail++] = i;
  }
  const take = (from: number, to: number) => {
    if (!data[to] || owners[to]) return;
    owners[to] = owners[from] as number;
    queue[tail++] = to;
  };
  for (let head = 0; head < tail; head++) {
    const i = queue[head] as number;
    const x = i % width;
    if (x > 0) take(i, i - 1);
    if (x < width - 1) take(i, i + 1);
    if (i >= width) take(i, i - width);
    if (i < width * (height - 1)) take(i, i + width);
  }
  return owners;
}

/** The pieces of an owner picture; labels are the owners 1 to `count`. Owners without a pixel are left out. */
export function ownedPieces({ width, height, data }: Mask, owned: Int32Array, count: number): Piece[] {
  const all = Array.from({ length: count }, () => ({
    areaPx: 0,
    filledPx: 0,
    x: 0,
    y: 0,
    left: width,
    right: -1,
    top: height,
    bottom: -1,
  }));
  for (let i = 0; i < owned.length; i++) {
    if (!owned[i]) continue;
    const one = all[(owned[i] as number) - 1] as (typeof all)[number];
    const x = i % width;
    const y = (i - x) / width;
    one.filledPx++;
    if (data[i]) one.areaPx++;
    one.x += x;
    one.y += y;
    if (x < one.left) one.left = x;
    if (x > one.right) one.right = x;
    if (y < one.top) one.top = y;
    if (y > one.bottom) one.bottom = y;
  }
  return all.flatMap((one, k) =>
    one.filledPx
      ? [
          {
            label: k + 1,
            areaPx: one.areaPx,
            filledPx: one.filledPx,
            boxPx: [one.left, one.top, one.right - one.left + 1, one.bottom - one.top + 1] as const,
            centroidPx: [one.x / one.filledPx, one.y / one.filledPx] as const,
            touchesBorder:
              one.left === 0 || one.top === 0 || one.right === width - 1 || one.bottom === height - 1,
          },
        ]
      : [],
  );
}
