import { median } from "../../../numeric/order.ts";
import type { Scale } from "../../../radiograph/radiograph.ts";
import type { Characteristic, LinkedCharacteristic } from "../grouping/group-parts.ts";
import { inUnit } from "../grouping/judge-groups.ts";
import { frameMetalFloor } from "../measuring/characteristics.ts";
import type { Found } from "./found.ts";
import { notSeen } from "./found.ts";
import type { ExemplarOnGroup } from "./lay-exemplar.ts";
import type { MeasuredExemplar } from "./measured-exemplar.ts";

/** Pictures within this logarithm of their scales show metal alike. */
const alikeScale = 0.2;

/**
 * Compares a size of the group with the exemplar's, both relative to the whole part.
 *
 * @param own the exemplar's sizes
 * @param group the group's values of this one
 * @param size how many parts the group has
 */
export function compareSize(
  c: LinkedCharacteristic,
  own: readonly Characteristic[],
  group: readonly number[],
  size: number,
  {
    scale,
    sameTechnique,
    exemplar,
    liesOn,
  }: { scale: Scale; sameTechnique: boolean; exemplar: MeasuredExemplar; liesOn: boolean },
): Found[] {
  // Sizes are relative to the part as it lies on the lot's: without that only what is counted compares.
  if (!liesOn && c.name !== "leads") return [];
  const of = own.find((o) => o.name === c.name);
  const value = of?.values[0] ?? null;
  if (!of || value === null || group.length < 0.5 * size || !group.length) {
    if (!group.length && value === null) return [];
    const where = value === null ? "the exemplar" : "most parts of the group";
    return [notSeen(c.name, inUnit(c.name, 0, 0, scale).unit, `not seen in ${where}`)];
  }
  const typical = median(group);
  // Thin metal reads lighter where pixels are coarser.
  const alike = sameTechnique && Math.abs(Math.log(exemplar.item.aligned.scale)) < alikeScale;
  const floor = c.name === "frameToMould" ? frameMetalFloor(typical, alike) : c.floor;
  // Pixels that were drawn larger hold no more than they did.
  const grown = Math.max(1, 1 / exemplar.item.patch.reducedBy);
  const u = Math.hypot(grown * of.u, c.u, (c.spread ?? 0) * Math.sqrt(1 + 1 / group.length));
  const limit = Math.max(floor, 3 * u);
  const by = typical - value;
  return [
    {
      compared: {
        characteristic: c.name,
        assessable: true,
        because: `the middle of ${group.length} parts against the exemplar, sizes relative to the whole part`,
        smallestDetectable: inUnit(c.name, limit, 0.15 * limit, scale),
      },
      by: inUnit(c.name, by, u, scale),
      times: Math.abs(by) / limit,
    },
  ];
}

/** Whether it lies about as well a quarter turn away: then which of its sides is the long one is not known. */
export function maySwapSides({ item, near }: ExemplarOnGroup): boolean {
  return near.some(
    ({ aligned }) =>
      Math.abs(Math.sin(((aligned.turnDeg - item.aligned.turnDeg) * Math.PI) / 180)) > Math.SQRT1_2,
  );
}

/** Lengths for widths: as a part reads that lies a quarter turn away. */
export function sidesSwapped(characteristics: readonly Characteristic[]): Characteristic[] {
  const other: Readonly<Record<string, string>> = {
    padLength: "padWidth",
    padWidth: "padLength",
    dieLength: "dieWidth",
    dieWidth: "dieLength",
  };
  return characteristics.map((c) => ({
    ...(characteristics.find((o) => o.name === other[c.name]) ?? c),
    name: c.name,
  }));
}
