import { describe, expect, it } from "vitest";
import { gradient } from "./gradient.ts";
import { imageOf } from "./test-images.ts";

describe("gradient", () => {
  it("takes central differences, one-sided at the border, by hand", () => {
    const { gx, gy } = gradient(
      imageOf([
        [0, 1, 4],
        [2, 5, 8],
        [8, 9, 9],
      ]),
    );
    expect([...gx.data]).toEqual([1, 2, 3, 3, 3, 3, 1, 0.5, 0]);
    expect([...gy.data]).toEqual([2, 4, 4, 4, 4, 2.5, 6, 4, 1]);
  });

  it("is zero along a side of one pixel", () => {
    expect([...gradient(imageOf([[1, 5]])).gy.data]).toEqual([0, 0]);
    expect([...gradient(imageOf([[1], [5]])).gx.data]).toEqual([0, 0]);
  });
});
