import { expect, it } from "vitest";
import { comparedDrawnLot } from "../../../../test/support/drawn-lot.ts";
import { drawnPart } from "../../../../test/support/drawn-part.ts";
import type { Slab } from "../../../../test/support/drawn-radiograph.ts";
import { slab } from "../../../../test/support/drawn-radiograph.ts";
import { noScale } from "../../../radiograph/scale.ts";
import { callDifferences } from "../calling/call-differences.ts";
import { minorityGroups } from "../grouping/judge-groups.ts";
import { lotWires } from "../lot-wires.ts";
import { groupScenes } from "./group-scenes.ts";
import { lotDetails } from "./lot-details.ts";

// Parts are drawn: a pad held by two bars, one of them with a slot; what one part lacks or has more is known.

const bars = [slab(0.8, [-60, -5], [-31, 4]), slab(0.8, [30, -5], [59, 4])];
const slot = slab(-0.8, [38, -5], [49, 4]);
const usual: readonly Slab[] = [...drawnPart(), ...bars];

async function saidOf(part: readonly Slab[], others: readonly Slab[] = usual) {
  const poses = Array.from({ length: 9 }, (_, i) => ({
    part: i === 4 ? part : others,
    turnDeg: Math.sin(3 * i),
    centrePx: [120 + Math.cos(i), 100 + Math.sin(2 * i)] as const,
  }));
  const { lot, measured, compared } = await comparedDrawnLot(poses);
  const odd = minorityGroups(compared.groupOf);
  const scenes = groupScenes(lot, measured, compared.groupOf);
  const called = callDifferences(lot, measured, compared, odd, noScale);
  const wires = lotWires(lot, measured.images, scenes);
  return lotDetails(lot, measured, compared.groupOf, scenes, called, odd, wires, noScale);
}

it("says that a tie bar is absent, as a matter of the lead frame", async () => {
  const { calls, compared } = await saidOf([...drawnPart(), bars[0] as Slab]);
  expect(calls.flatMap((of, i) => (of.length ? [i] : []))).toEqual([4]);
  expect(calls[4]?.map((c) => c.kind)).toContain("lead-frame");
  expect(calls[4]?.map((c) => c.says).join()).toMatch(/tie bar or other arm of the die pad .* absent/);
  expect(compared.find((c) => c.characteristic === "tieBars")).toMatchObject({ assessable: true });
});

it("says that a die lies on the die, where its group has one", async () => {
  const { calls } = await saidOf([...usual, slab(0.3, [-12, -8], [11, 7])]);
  expect(calls.flatMap((of, i) => (of.length ? [i] : []))).toEqual([4]);
  expect(calls[4]?.map((c) => c.kind)).toContain("die");
});

it("says nothing of parts that are alike, slot and all", async () => {
  const { calls } = await saidOf([...usual, slot], [...usual, slot]);
  expect(calls.flat()).toEqual([]);
});
