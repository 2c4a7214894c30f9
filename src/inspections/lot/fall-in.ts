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
  let found = strayOfPoses(looks, chosen, leastSpread, manyWrong);
  for (const tail of [manyWrong, fewWrong]) {
    found = strayOfPoses(looks, chosen, leastSpread, tail);
    for (let round = 0; round < mostRounds; round++) {
      const best = found.strays.map((of) => of.indexOf(Math.min(...of)));
      if (best.every((k, i) => k === chosen[i])) break;
      best.forEach((k, i) => {
        chosen[i] = k;
      });
      found = strayOfPoses(looks, chosen, leastSpread, tail);
    }
  }
  return { chosen, ...found };
}

/** How far each part strays from the average of the others in each of its poses, in their own variances. */
function strayOfPoses(
  looks: readonly (readonly Float32Array[])[],
  chosen: readonly number[],
  leastSpread: number,
  tail: number,
): Omit<FallenIn, "chosen"> {
  const present = looks.map((of, i) => of[chosen[i] as number] as Float32Array);
  const places = (present[0] as Float32Array).length;
  const sums = looks.map((of) => new Float64Array(of.length));
  const counts = looks.map((of) => new Float64Array(of.length));
  const column = new Float64Array(present.length);
  let disorder = 0;
  let seen = 0;
  for (let p = 0; p < places; p++) {
    let sum = 0;
    let squares = 0;
    let count = 0;
    for (const values of present) {
      const v = values[p] as number;
      if (Number.isNaN(v)) continue;
      column[count++] = v;
      sum += v;
      squares += v * v;
    }
    // A place that a tenth of the parts do not show says nothing about all of them.
    if (count < 0.9 * present.length || count < 3) continue;
    const all = Math.max(0, squares / count - (sum / count) ** 2);
    disorder += 0.5 * Math.log(all + leastSpread ** 2);
    seen++;
    const variance = Math.max(leastSpread, middleSpread(column.subarray(0, count), tail)) ** 2;
    for (let i = 0; i < looks.length; i++) {
      const own = (present[i] as Float32Array)[p] as number;
      const mean = Number.isNaN(own) ? sum / count : (sum - own) / (count - 1);
      const of = looks[i] as readonly Float32Array[];
      for (let k = 0; k < of.length; k++) {
        const off = ((of[k] as Float32Array)[p] as number) - mean;
        if (Number.isNaN(off)) continue;
        (sums[i] as Float64Array)[k] += Math.min((off * off) / variance, mostStray ** 2);
        (counts[i] as Float64Array)[k]++;
      }
    }
  }
  return {
    strays: sums.map((of, i) =>
      Array.from(of, (sum, k) => sum / Math.max(1, (counts[i] as Float64Array)[k] as number)),
    ),
    disorder: disorder / Math.max(1, seen),
  };
}

/** Standard deviations that a normal distribution spans between its tails of this share. */
const spanOf: Readonly<Record<number, number>> = { [manyWrong]: 1.349, [fewWrong]: 2.563 };

/** Standard deviation from the values without their tails (sorts them). */
function middleSpread(values: Float64Array, tail: number): number {
  sortFew(values);
  const at = (share: number) => values[Math.round(share * (values.length - 1))] as number;
  return (at(1 - tail) - at(tail)) / (spanOf[tail] as number);
}

/** Values up to this many are sorted faster by insertion than by the engine's own sort. */
const fewValues = 64;

function sortFew(values: Float64Array): void {
  if (values.length > fewValues) {
    values.sort();
    return;
  }
  for (let i = 1; i < values.length; i++) {
    const v = values[i] as number;
    let k = i - 1;
    while (k >= 0 && (values[k] as number) > v) {
      values[k + 1] = values[k] as number;
      k--;
    }
    values[k + 1] = v;
  }
}
