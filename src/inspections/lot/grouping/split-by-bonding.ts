import type { BondingSplit } from "../../wires/bonding-split.ts";
import type { LotWires } from "../lot-wires.ts";
import type { ComparedLot } from "./compare-lot.ts";
import { groupMembers } from "./group-parts.ts";

/**
 * The groups parted where their parts are bonded in two ways: a lead with a wire in many of them and none in many.
 * The number of wires at those leads becomes a characteristic, so that the groups say what separates them.
 *
 * @returns null where every group is bonded in one way
 */
export function splitByBonding(compared: ComparedLot, wires: LotWires): ComparedLot | null {
  const members = groupMembers(compared.groupOf);
  const parted: number[][] = [];
  const counts: (number | null)[] = compared.groupOf.map(() => null);
  let found = false;
  members.forEach((own, g) => {
    const split = wires.groups[g]?.split ?? null;
    if (!split) {
      parted.push(own);
      return;
    }
    found = true;
    const ways = new Map<string, number[]>();
    own.forEach((i, k) => {
      const bonded = split.bonded[k] ?? commonest(split);
      counts[i] = bonded.filter(Boolean).length;
      const way = bonded.join();
      ways.set(way, [...(ways.get(way) ?? []), i]);
    });
    parted.push(...ways.values());
  });
  if (!found) return null;
  parted.sort((p, q) => q.length - p.length || (p[0] as number) - (q[0] as number));
  const groupOf = new Array<number>(compared.groupOf.length).fill(0);
  parted.forEach((own, g) => {
    for (const i of own) groupOf[i] = g;
  });
  const bonding = { name: "wiresSeen", values: counts, u: 0, floor: 0.5, spread: 0, link: 0.5 };
  return {
    ...compared,
    groupOf,
    groups: parted.length,
    characteristics: [...compared.characteristics, bonding],
  };
}

/** How most parts are bonded: a part without a die to tell by is held to be like them. */
function commonest({ bonded }: BondingSplit): readonly boolean[] {
  const ways = new Map<string, { count: number; way: readonly boolean[] }>();
  for (const way of bonded) {
    if (!way) continue;
    const same = ways.get(way.join()) ?? { count: 0, way };
    ways.set(way.join(), { ...same, count: same.count + 1 });
  }
  return [...ways.values()].sort((p, q) => q.count - p.count)[0]?.way ?? [];
}
