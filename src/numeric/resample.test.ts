import { describe, expect, it } from "vitest";
import { reduceBy, reduceByTwo } from "./resample.ts";
import { imageOf } from "./test-images.ts";

describe("reduceBy", () => {
  it("averages whole cells and the ragged border by hand", () => {
    const image = imageOf([
      [1, 3, 5, 7, 9],
      [1, 3, 5, 7, 11],
      [2, 4, 6, 8, 20],
    ]);
    const half = reduceByTwo(image);
    expect([half.width, half.height]).toEqual([3, 2]);
    expect([...half.data]).toEqual([2, 6, 10, 3, 7, 20]);
  });

  it("by one copies, by more than the picture gives its mean", () => {
    const image = imageOf([
      [1, 2],
      [3, 6],
    ]);
    expect(reduceBy(image, 1).data).toEqual(image.data);
    expect([...reduceBy(image, 5).data]).toEqual([3]);
  });
});
