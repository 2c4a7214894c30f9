import { describe, expect, it } from "vitest";
import { RangeOfArgumentError, ShapeError } from "./errors.ts";
import { stackQuantile, stackQuantilePlain } from "./stack-quantile.ts";
import { imageOf, largestDifference, noiseImage } from "./test-images.ts";

describe("stackQuantile", () => {
  it("takes the middle picture's value pixel by pixel, by hand", () => {
    const stack = [imageOf([[1, 9, 5]]), imageOf([[2, 7, 5]]), imageOf([[99, 8, -4]])];
    expect([...stackQuantile(stack, 0.5).data]).toEqual([2, 8, 5]);
    expect([...stackQuantile(stack.slice(0, 2), 0.5).data]).toEqual([1.5, 8, 5]);
    expect([...stackQuantile(stack, 0.25).data]).toEqual([1.5, 7.5, 0.5]);
  });

  it.each([1, 2, 3, 7, 16, 40, 65, 300])("agrees with selection over %i pictures", (count) => {
    const stack = Array.from({ length: count }, (_, k) => noiseImage(37, 11, k + 1));
    for (const q of [0, 0.25, 0.5, 0.9, 1]) {
      expect(largestDifference(stackQuantile(stack, q).data, stackQuantilePlain(stack, q).data)).toBeLessThan(
        1e-6,
      );
    }
  });

  it("refuses no pictures and unequal ones", () => {
    expect(() => stackQuantile([], 0.5)).toThrow(RangeOfArgumentError);
    expect(() => stackQuantile([noiseImage(2, 2), noiseImage(2, 3)], 0.5)).toThrow(ShapeError);
  });
});
