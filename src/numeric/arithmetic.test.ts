import { describe, expect, it } from "vitest";
import { absoluteDifference, accumulate, difference } from "./arithmetic.ts";
import { ShapeError } from "./errors.ts";
import { imageOf } from "./test-images.ts";

describe("picture arithmetic", () => {
  const first = imageOf([[1, 5, -2]]);
  const second = imageOf([[3, 1, -2]]);

  it("subtracts and sums by hand", () => {
    expect([...absoluteDifference(first, second).data]).toEqual([2, 4, 0]);
    expect([...difference(first, second).data]).toEqual([-2, 4, 0]);
    const sum = imageOf([[0, 1, 2]]);
    accumulate(sum, first, 2);
    expect([...sum.data]).toEqual([2, 11, -2]);
  });

  it("refuses pictures of different sizes", () => {
    expect(() => difference(first, imageOf([[1, 2]]))).toThrow(ShapeError);
  });
});
