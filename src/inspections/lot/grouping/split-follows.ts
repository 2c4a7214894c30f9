import type { PictureFacts } from "../lot-item.ts";
import type { SplitFollows } from "../result.ts";
import type { ComparedLot } from "./compare-lot.ts";

/** Open-beam grey levels farther apart than this are two techniques. */
const sameTechnique = 1.1;

/**
 * What a split into groups coincides with, as far as the pictures tell: with the technique (every group has open
 * beams of its own level), with the picture (no picture holds two groups although pictures hold several parts), or
 * with nothing seen. Null for one group.
 */
export function splitFollows(
  lot: { readonly items: readonly { readonly picture: Pick<PictureFacts, "picture" | "background"> }[] },
  compared: Pick<ComparedLot, "groupOf" | "groups">,
): SplitFollows | null {
  if (compared.groups < 2) return null;
  const beams = lot.items.map((item) => item.picture.background.greyMean);
  const ranges = Array.from({ length: compared.groups }, (_, g) => {
    const own = beams.filter((_b, i) => compared.groupOf[i] === g);
    return [Math.min(...own), Math.max(...own)] as const;
  });
  const apart = ranges.every(([low, high], g) =>
    ranges.every(([l, h], k) => k === g || low > sameTechnique * h || l > sameTechnique * high),
  );
  if (apart) return { kind: "technique", differs: "the open beam's grey level" };
  const groupsIn = new Map<string, Set<number>>();
  const partsIn = new Map<string, number>();
  lot.items.forEach((item, i) => {
    const { picture } = item.picture;
    groupsIn.set(picture, (groupsIn.get(picture) ?? new Set()).add(compared.groupOf[i] as number));
    partsIn.set(picture, (partsIn.get(picture) ?? 0) + 1);
  });
  const several = [...partsIn.values()].every((n) => n > 1);
  if (several && [...groupsIn.values()].every((g) => g.size === 1)) return { kind: "picture" };
  return { kind: "codes-unknown" };
}
