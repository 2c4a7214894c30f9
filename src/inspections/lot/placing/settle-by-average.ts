import type { PlacedItem } from "../lot-item.ts";
import type { LotWork } from "../part-tasks.ts";
import { lyingIn } from "./align-lot.ts";
import type { InTone } from "./look-in-tone.ts";
import type { PosedLook } from "./posed-look.ts";
import { fewestWeighed, weighPoses } from "./weigh-poses.ts";

/** A part as it lies, with how it looks there. */
export interface LyingPart {
  readonly item: PlacedItem;
  readonly look: InTone;
}

/**
 * Settles how parts that stand in open field lie by the average of all, where there are enough of them; the poses that
 * stay possible are marked `equal`.
 *
 * @param posed how each part looks in each of its poses, the present one first
 * @param lookAt looks at a part in another of its poses
 * @param leastSpread standard deviation below which no place is taken to be known
 */
export async function settleByAverage(
  parts: readonly LyingPart[],
  posed: readonly (readonly PosedLook[])[],
  lookAt: (item: PlacedItem) => InTone,
  leastSpread: number,
  work: LotWork,
): Promise<LyingPart[]> {
  if (parts.length < fewestWeighed) return [...parts];
  const weighed = await weighPoses(posed, leastSpread, work);
  return weighed.map(({ chosen, equal }, i) => {
    const part = parts[i] as LyingPart;
    const item = { ...part.item, aligned: lyingIn(part.item.aligned, chosen, equal) };
    return { item, look: chosen > 0 ? lookAt(item) : part.look };
  });
}
