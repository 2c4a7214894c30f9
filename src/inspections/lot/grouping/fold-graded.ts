import { median } from "../../../numeric/order.ts";
import type { DistanceMatrix, LinkedCharacteristic } from "./group-parts.ts";
import { groupMembers, withoutEmpty } from "./group-parts.ts";

/** Groups with parts nearer to each other than this share of the linking difference run into each other. */
const mostGap = 0.5;
/** A group of at least this many parts says what is usual. */
const leastGroup = 4;

/**
 * Takes groups back into the largest one that are not told from it after all:
 *
 * A group that differs in its outline alone, and by degrees: one of its parts lies within half of the linking difference
 * from a part of the largest group. Terminations of chips are longer and shorter from part to part, and where such a
 * row of values is cut in two is chance. Constructions are apart.
 *
 * A part without the number that tells its group from the largest one (its die was not measured, say): it lies as near
 * to the one as to the other, and which it was joined with is chance.
 *
 * @param distances of all that was measured
 * @param outline in units of its linking difference
 * @returns group of each part, 0 the largest, none empty
 */
export function foldGraded(
  distances: DistanceMatrix,
  outline: DistanceMatrix,
  characteristics: readonly LinkedCharacteristic[],
  groupOf: readonly number[],
): number[] {
  const largest = groupMembers(groupOf)[0] ?? [];
  if (largest.length < leastGroup) return [...groupOf];
  const told = [...groupOf];
  for (const own of groupMembers(groupOf).slice(1)) {
    const apart = characteristics.filter((c) => isApart(c, own, largest));
    const byDegrees = !apart.length && own.some((i) => largest.some((j) => at(outline, i, j) < mostGap));
    for (const i of own) {
      const untold =
        apart.length > 0 &&
        apart.every(({ values }) => (values[i] ?? null) === null) &&
        mean(largest.map((j) => at(distances, i, j))) < mostGap;
      if (byDegrees || untold) told[i] = 0;
    }
  }
  return withoutEmpty(told);
}

const at = ({ size, values }: DistanceMatrix, i: number, j: number) => values[i * size + j] as number;

const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length;

/** Whether the middle values of two groups lie farther apart than the characteristic's linking difference. */
function isApart(c: LinkedCharacteristic, own: readonly number[], others: readonly number[]): boolean {
  const seen = (of: readonly number[]) => of.flatMap((i) => c.values[i] ?? []);
  const [here, there] = [seen(own), seen(others)];
  if (c.link === null || !here.length || !there.length) return false;
  return Math.abs(median(here) - median(there)) > c.link;
}
