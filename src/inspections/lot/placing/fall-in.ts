/** The looks of a lot's parts and where its settling starts. */
export interface PosesToSettle {
  /** Of each part, each pose: values in the frame at places common to all; NaN where nothing is known. */
  readonly looks: readonly (readonly Float32Array[])[];
  /** Standard deviation below which no place is taken to be known. */
  readonly leastSpread: number;
}

const mostRounds = 8;
/**
 * Share of the values at a place that is left out at either end when their spread is taken: a quarter while many may
 * still lie the wrong way round, a tenth once that is settled, so that what seldom strays (a wire) does count.
 */
const manyWrong = 0.25;
const fewWrong = 0.1;
/** A place counts no more than one that strays by this many of its standard deviations. */
const mostStray = 30;

/** Poses of a lot that no part would change, with how far each part strays in each of its own. */
export interface FallenIn {
  readonly chosen: number[];
  readonly strays: number[][];
  /** Mean logarithm of the standard deviation at a place: the less, the more alike the parts lie. */
  readonly disorder: number;
}

/** From a start each part takes the pose in which it strays least from the others, until none changes. */
export function fallIn({ looks, leastSpread }: PosesToSettle, start: readonly number[]): FallenIn {
  const chosen = [...start];
  const lot = placeByPlace(looks);
  const take = (strays: readonly (readonly number[])[]) => {
    const best = strays.map((of) => of.indexOf(Math.min(...of)));
    const changed = best.some((k, i) => k !== chosen[i]);
    best.forEach((k, i) => {
      chosen[i] = k;
    });
    return changed;
  };
  let found = strayOfPoses(lot, chosen, leastSpread, manyWrong);
  for (let round = 0; round < mostRounds && take(found.strays); round++)
    found = strayOfPoses(lot, chosen, leastSpread, manyWrong);
  found = strayOfPoses(lot, chosen, leastSpread, fewWrong);
  for (let round = 0; round < mostRounds && take(found.strays); round++)
    found = strayOfPoses(lot, chosen, leastSpread, fewWrong);
  return { chosen, ...found };
}

/** The looks of a lot as one array: of each place, every pose of every part. */
interface PlacesOfLot {
  readonly values: Float32Array;
  readonly places: number;
  /** Where each part's poses begin in a place; one more at the end. */
  readonly firstOf: Int32Array;
}

function placeByPlace(looks: readonly (readonly Float32Array[])[]): PlacesOfLot {
  const firstOf = new Int32Array(looks.length + 1);
  looks.forEach((of, i) => {
    firstOf[i + 1] = (firstOf[i] as number) + of.length;
  });
  const all = looks.flat();
  const places = (all[0] as Float32Array).length;
  const values = new Float32Array(all.length * places);
  // A stretch of places at a time, so that what is written stays near.
  for (let from = 0; from < places; from += stretch) {
    const to = Math.min(places, from + stretch);
    for (let k = 0; k < all.length; k++) {
      const look = all[k] as Float32Array;
      for (let p = from; p < to; p++) values[p * all.length + k] = look[p] as number;
    }
  }
  return { values, places, firstOf };
}

const stretch = 256;

/** How far each part strays from the average of the others in each of its poses, in their own variances. */
function strayOfPoses(
  { values, places, firstOf }: PlacesOfLot,
  chosen: readonly number[],
  leastSpread: number,
  tail: number,
): Omit<FallenIn, "chosen"> {
  const parts = chosen.length;
  const poses = firstOf[parts] as number;
  const own = Int32Array.from(chosen, (k, i) => (firstOf[i] as number) + k);
  const sums = new Float64Array(poses);
  const counts = new Int32Array(poses);
  const column = new Float64Array(parts);
  const most = mostStray ** 2;
  let disorder = 0;
  let seen = 0;
  for (let p = 0; p < places; p++) {
    const base = p * poses;
    let sum = 0;
    let squares = 0;
    let count = 0;
    for (let i = 0; i < parts; i++) {
      const v = values[base + (own[i] as number)] as number;
      if (Number.isNaN(v)) continue;
      column[count++] = v;
      sum += v;
      squares += v * v;
    }
    // A place that a tenth of the parts do not show says nothing about all of them.
    if (count < 0.9 * parts || count < 3) continue;
    const all = Math.max(0, squares / count - (sum / count) ** 2);
    disorder += 0.5 * Math.log(all + leastSpread ** 2);
    seen++;
    const variance = Math.max(leastSpread, middleSpread(column, count, tail)) ** 2;
    for (let i = 0; i < parts; i++) {
      const v = values[base + (own[i] as number)] as number;
      const mean = Number.isNaN(v) ? sum / count : (sum - v) / (count - 1);
      const end = firstOf[i + 1] as number;
      for (let k = firstOf[i] as number; k < end; k++) {
        const off = (values[base + k] as number) - mean;
        if (Number.isNaN(off)) continue;
        const stray = (off * off) / variance;
        sums[k] = (sums[k] as number) + Math.min(stray, most);
        counts[k] = (counts[k] as number) + 1;
      }
    }
  }
  const strays = chosen.map((_, i) => {
    const of: number[] = [];
    for (let k = firstOf[i] as number; k < (firstOf[i + 1] as number); k++)
      of.push((sums[k] as number) / Math.max(1, counts[k] as number));
    return of;
  });
  return { strays, disorder: disorder / Math.max(1, seen) };
}

/** Standard deviations that a normal distribution spans between its tails of this share. */
const spanOf: Readonly<Record<number, number>> = { [manyWrong]: 1.349, [fewWrong]: 2.563 };

/** Standard deviation from the first `count` values without their tails (sorts them). */
function middleSpread(values: Float64Array, count: number, tail: number): number {
  sortFirst(values, count);
  const at = (share: number) => values[Math.round(share * (count - 1))] as number;
  return (at(1 - tail) - at(tail)) / (spanOf[tail] as number);
}

/** Values up to this many are sorted faster by insertion than by the engine's own sort. */
const fewValues = 64;

function sortFirst(values: Float64Array, count: number): void {
  if (count > fewValues) {
    values.subarray(0, count).sort();
    return;
  }
  for (let i = 1; i < count; i++) {
    const v = values[i] as number;
    let k = i - 1;
    while (k >= 0 && (values[k] as number) > v) {
      values[k + 1] = values[k] as number;
      k--;
    }
    values[k + 1] = v;
  }
}
