import { describe, expect, it } from "vitest";
import { boxMean, boxMeanVariance } from "./box-mean.ts";
import { RangeOfArgumentError } from "./errors.ts";
import { imageOf, largestDifference, noiseImage } from "./test-images.ts";

const grid = imageOf([
  [1, 2, 3, 4, 5],
  [6, 7, 8, 9, 10],
  [11, 12, 13, 14, 15],
  [16, 17, 18, 19, 20],
  [21, 22, 23, 24, 25],
]);

describe("boxMean", () => {
  it("averages by hand: the middle, and a corner with repeated edges", () => {
    const mean = boxMean(grid, 1);
    expect(mean.data[12]).toBeCloseTo(13, 6);
    // Corner: columns 1,1,2 and rows repeated: (1+1+2 + 1+1+2 + 6+6+7) / 9 = 3.
    expect(mean.data[0]).toBeCloseTo(3, 6);
  });

  it("gives the variance of 3 x 3 by hand", () => {
    const { mean, variance } = boxMeanVariance(grid, 1);
    expect(mean.data[12]).toBeCloseTo(13, 6);
    // About 13: -6,-5,-4,-1,0,1,4,5,6; squares sum to 156.
    expect(variance.data[12]).toBeCloseTo(156 / 9, 4);
  });

  it("agrees with direct sums for a radius beyond the picture", () => {
    const image = noiseImage(6, 5);
    const radius = 7;
    const direct = image.data.map((_, i) => {
      const x = i % 6;
      const y = (i - x) / 6;
      let sum = 0;
      for (let dy = -radius; dy <= radius; dy++) {
        for (let dx = -radius; dx <= radius; dx++) {
          sum += image.data[Math.min(4, Math.max(0, y + dy)) * 6 + Math.min(5, Math.max(0, x + dx))];
        }
      }
      return sum / 225;
    });
    expect(largestDifference(boxMean(image, radius).data, direct)).toBeLessThan(1e-6);
  });

  it("keeps small variance on a large offset", () => {
    const image = noiseImage(40, 30);
    const lifted = { ...image, data: image.data.map((v) => 60000 + Math.round(v * 8)) };
    const { variance } = boxMeanVariance(lifted, 3);
    const rounded = { ...image, data: image.data.map((v) => Math.round(v * 8)) };
    expect(largestDifference(variance.data, boxMeanVariance(rounded, 3).variance.data)).toBeLessThan(1e-4);
  });

  it("refuses half a pixel", () => {
    expect(() => boxMean(grid, 0.5)).toThrow(RangeOfArgumentError);
  });
});
