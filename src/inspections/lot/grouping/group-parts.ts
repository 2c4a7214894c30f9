import { median, quantile } from "../../../numeric/order.ts";

/** One measured characteristic over the parts of a lot, in px (sizes divided by the part's own scale) or a count. */
export interface Characteristic {
  readonly name: string;
  /** null where a part has no number. */
  readonly values: readonly (number | null)[];
  /** Standard uncertainty of one value. */
  readonly u: number;
  /** Differences below this never separate parts, however alike the rest are. */
  readonly floor: number;
  /** What differs in it shows in the outline too: without that it was read otherwise, and separates nothing. */
  readonly seenInOutline?: boolean;
}

/** A characteristic with the difference at which two parts are held to differ; null when too few parts show it. */
export interface LinkedCharacteristic extends Characteristic {
  readonly spread: number | null;
  readonly link: number | null;
}

/**
 * Spread (as a standard deviation) of the tightest 45 % of the values: the spread inside one construction even
 * when the lot holds two of equal size.
 */
export function tightSpread(values: readonly number[]): number {
  const sorted = Float64Array.from(values).sort();
  const n = sorted.length;
  const window = Math.max(2, Math.ceil(0.45 * n));
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i + window <= n; i++)
    least = Math.min(least, (sorted[i + window - 1] as number) - (sorted[i] as number));
  // The middle 45 % of a normal distribution spans 1.196 standard deviations; small windows fall short of theirs.
  return (least / 1.196) * (1 + 2 / window);
}

/** A spread above this many floors is no longer spread inside one construction. */
const mostFloors = 4;

/**
 * Sets the linking difference: six spreads (of a few parts, or of parts that all differ, no more than four floors),
 * three standard uncertainties of a difference, never below the floor.
 */
export function linkCharacteristic(characteristic: Characteristic): LinkedCharacteristic {
  const seen = characteristic.values.filter((v): v is number => v !== null);
  if (seen.length < 2 || seen.length < 0.5 * characteristic.values.length) {
    return { ...characteristic, spread: null, link: null };
  }
  const spread = tightSpread(seen);
  return {
    ...characteristic,
    spread,
    link: Math.max(
      Math.min(6 * spread, mostFloors * characteristic.floor),
      3 * Math.SQRT2 * characteristic.u,
      characteristic.floor,
    ),
  };
}

/** Indices of the parts of each group, largest group first. */
export function groupMembers(groupOf: readonly number[]): number[][] {
  const members: number[][] = Array.from({ length: Math.max(-1, ...groupOf) + 1 }, () => []);
  groupOf.forEach((group, part) => {
    (members[group] as number[]).push(part);
  });
  return members;
}

/** The same groups numbered without gaps, in the same order. */
export function withoutEmpty(groupOf: readonly number[]): number[] {
  const present = [...new Set(groupOf)].sort((a, b) => a - b);
  const index = new Map(present.map((group, k) => [group, k]));
  return groupOf.map((group) => index.get(group) as number);
}

/** Distances between parts in units of the difference at which two parts are held to differ (1). Symmetric, n * n. */
export interface DistanceMatrix {
  readonly size: number;
  readonly values: Float64Array;
}

const farthest = 4;
/** Outlines that differ by less than this share of their link are those of one lead frame. */
const leastShown = 0.3;

/** Combines outline distances and characteristics: the largest counts, capped so that one wild value does not rule. */
export function combineDistances(
  outline: DistanceMatrix,
  outlineLink: number,
  characteristics: readonly LinkedCharacteristic[],
): DistanceMatrix {
  const n = outline.size;
  const values = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < i; j++) {
      const byOutline = (outline.values[i * n + j] as number) / outlineLink;
      let d = byOutline;
      for (const c of characteristics) {
        const a = c.values[i];
        const b = c.values[j];
        if (c.link === null || a === null || a === undefined || b === null || b === undefined) continue;
        if (c.seenInOutline && byOutline < leastShown) continue;
        d = Math.max(d, Math.abs(a - b) / c.link);
      }
      values[i * n + j] = values[j * n + i] = Math.min(d, farthest);
    }
  }
  return { size: n, values };
}

/**
 * The outline distance at which two parts are held to differ: six times what the middling part and three times what
 * four fifths of the parts show to near neighbours (the last fifth may be the odd ones), between the two limits. With
 * two parts there are no neighbours to learn from: three times the lower limit.
 */
export function outlineLink(outline: DistanceMatrix, least: number, most: number): number {
  const n = outline.size;
  if (n < 3) return Math.min(3 * least, most);
  const near: number[] = [];
  const neighbour = Math.max(1, Math.floor(0.3 * (n - 1)));
  for (let i = 0; i < n; i++) {
    const row = new Float64Array(n - 1);
    for (let j = 0, k = 0; j < n; j++) if (j !== i) row[k++] = outline.values[i * n + j] as number;
    row.sort();
    near.push(row[neighbour - 1] as number);
  }
  return Math.min(Math.max(least, 6 * median(near), 3 * quantile(near, 0.8)), most);
}

/**
 * Groups parts by average linkage: groups join while their mean distance is below 1. A small group that is not
 * clearly farther from the largest one than that group's own parts are from each other is folded back into it.
 *
 * @returns group index of each part, 0 the largest
 */
export function groupParts(distances: DistanceMatrix): number[] {
  const n = distances.size;
  let groups: number[][] = Array.from({ length: n }, (_, i) => [i]);
  const mean = (p: readonly number[], q: readonly number[]) => {
    let sum = 0;
    for (const i of p) for (const j of q) sum += distances.values[i * n + j] as number;
    return sum / (p.length * q.length);
  };
  let between = groups.map((p) => groups.map((q) => mean(p, q)));
  for (;;) {
    let best: [number, number] | null = null;
    let least = 1;
    for (let a = 0; a < groups.length; a++) {
      for (let b = 0; b < a; b++) {
        const d = (between[a] as number[])[b] as number;
        if (d < least) {
          least = d;
          best = [a, b];
        }
      }
    }
    if (!best) break;
    const [a, b] = best;
    const merged = [...(groups[a] as number[]), ...(groups[b] as number[])];
    const [na, nb] = [(groups[a] as number[]).length, (groups[b] as number[]).length];
    const row = groups.map(
      (_, k) => ((between[a] as number[])[k] as number) * na + ((between[b] as number[])[k] as number) * nb,
    );
    const keep = groups.map((_, k) => k).filter((k) => k !== a && k !== b);
    between = keep.map((k) => [
      ...keep.map((l) => (between[k] as number[])[l] as number),
      (row[k] as number) / (na + nb),
    ]);
    between.push([...keep.map((k) => (row[k] as number) / (na + nb)), 0]);
    groups = [...keep.map((k) => groups[k] as number[]), merged];
  }
  groups.sort((p, q) => q.length - p.length || (p[0] as number) - (q[0] as number));
  groups = foldBack(distances, groups);
  const index = new Array<number>(n).fill(0);
  groups.forEach((g, k) => {
    for (const i of g) index[i] = k;
  });
  return index;
}

function foldBack(distances: DistanceMatrix, groups: readonly number[][]): number[][] {
  const n = distances.size;
  const main = groups[0];
  if (!main || main.length < 3) return groups.map((g) => [...g]);
  const within: number[] = [];
  for (const i of main) for (const j of main) if (j < i) within.push(distances.values[i * n + j] as number);
  const wide = quantile(within, 0.9);
  const kept: number[][] = [[...main]];
  for (const group of groups.slice(1)) {
    const to = median(group.flatMap((i) => main.map((j) => distances.values[i * n + j] as number)));
    if (to < 2 * wide) (kept[0] as number[]).push(...group);
    else kept.push([...group]);
  }
  return kept;
}
