import { expect, it } from "vitest";
import { applyMap } from "../../../align/similarity.ts";
import { boxToBox, cornerOrder, sameOrder, throughOrder } from "./corner-order.ts";

it("finds how a part's corners are numbered in another frame", () => {
  const here = [
    [0, 0],
    [10, 0],
    [10, 5],
    [0, 5],
  ] as const;
  const halfTurn = [
    [10, 5],
    [0, 5],
    [0, 0],
    [10, 0],
  ] as const;
  expect(cornerOrder(here, here)).toEqual(sameOrder);
  expect(cornerOrder(here, halfTurn)).toEqual([2, 3, 0, 1]);
  expect(throughOrder([2, 3, 0, 1], [2, 3, 0, 1])).toEqual(sameOrder);
});

it("takes a body box to another with its corners in order, mirrored ones too", () => {
  const map = boxToBox([10, 20, 100, 50], [0, 0, 200, 100], [2, 3, 0, 1]);
  expect(applyMap(map, [10, 20])).toEqual([200, 100]);
  expect(applyMap(map, [110, 70])).toEqual([0, 0]);
  const mirror = boxToBox([0, 0, 4, 2], [0, 0, 4, 2], [1, 0, 3, 2]);
  expect(applyMap(mirror, [1, 0.5])).toEqual([3, 0.5]);
});
