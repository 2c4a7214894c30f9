import { expect, it } from "vitest";
import { measured, notMeasured } from "../../../units/measured.ts";
import type { LotCompared } from "../result.ts";
import { worstCompared } from "./merge-compared.ts";

const found = (characteristic: string, limitPx: number): LotCompared => ({
  characteristic,
  assessable: true,
  because: `limit ${limitPx}`,
  smallestDetectable: measured(limitPx, 0.1, "px"),
});
const hidden: LotCompared = {
  characteristic: "wiresSeen",
  assessable: false,
  because: "no wire shows",
  smallestDetectable: notMeasured("1", "not-visible"),
};

it("states the largest limit, and leaves one portion's words as they are", () => {
  const [one] = worstCompared([[found("dieLength", 2)], [found("dieLength", 5)], [found("dieLength", 3)]]);
  expect(one?.smallestDetectable.value).toBe(5);
  expect(one?.because).toContain("of 3");
  expect(worstCompared([[hidden, found("dieLength", 2)]])).toEqual([hidden, found("dieLength", 2)]);
});

it("is assessable only where every portion is", () => {
  const [wires, die] = worstCompared([[found("wiresSeen", 1), found("dieLength", 2)], [hidden]]);
  expect(wires).toMatchObject({ assessable: false, because: "in 1 of 2 portions: no wire shows" });
  expect(die).toMatchObject({ assessable: false, because: "in 1 of 2 portions: it was not compared" });
});
