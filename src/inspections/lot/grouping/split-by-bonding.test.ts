import { expect, it } from "vitest";
import type { LotWires } from "../lot-wires.ts";
import type { ComparedLot } from "./compare-lot.ts";
import { splitByBonding } from "./split-by-bonding.ts";

// Groups of six and two; in the first, parts 0, 2, 3 and 6 show a wire at lead 4 and part 7 has no die to tell by.
const compared = {
  groupOf: [0, 0, 0, 0, 1, 1, 0, 0],
  groups: 2,
  characteristics: [],
} as unknown as ComparedLot;
const wiresOf = (split: unknown) => ({ groups: [{ split }, { split: null }] }) as unknown as LotWires;

it("parts a group whose parts are bonded in two ways, the larger half first", () => {
  const split = { leads: [4], bonded: [[true], [false], [true], [true], [true], null] };
  const parted = splitByBonding(compared, wiresOf(split));
  expect(parted?.groupOf).toEqual([0, 2, 0, 0, 1, 1, 0, 0]);
  expect(parted?.groups).toBe(3);
  expect(parted?.characteristics).toMatchObject([
    { name: "wiresSeen", values: [1, 0, 1, 1, null, null, 1, 1], link: 0.5 },
  ]);
});

it("leaves groups that are bonded in one way", () => {
  expect(splitByBonding(compared, wiresOf(null))).toBeNull();
});
