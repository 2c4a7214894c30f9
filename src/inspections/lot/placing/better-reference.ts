import type { ComparedLot } from "../grouping/compare-lot.ts";
import type { PlacedLot } from "./place-lot.ts";

/**
 * A part of the largest group to give the frame, when the present one belongs to a smaller group. Crops of larger
 * pictures are all of one size, which says nothing about which of them is typical: there the frame is always given
 * by the part that is most like the others.
 */
export function betterReference(lot: PlacedLot, compared: ComparedLot): number | null {
  if (compared.groupOf[lot.reference] === 0 && !lot.frame.wholeField) return null;
  const main = compared.groupOf.flatMap((g, i) => (g === 0 ? [i] : []));
  const n = compared.distances.size;
  const strangeness = (i: number) =>
    main.reduce((sum, j) => sum + (compared.distances.values[i * n + j] as number), 0);
  const best = main.reduce((least, i) => (strangeness(i) < strangeness(least) ? i : least));
  return best === lot.reference ? null : best;
}
