import { describe, expect, it } from "vitest";
import { medianFilter } from "./median-filter.ts";
import { median } from "./order.ts";
import { imageOf, noiseImage } from "./test-images.ts";

describe("medianFilter", () => {
  it("takes one hot pixel out", () => {
    const image = imageOf([
      [1, 1, 1],
      [1, 99, 1],
      [1, 1, 2],
    ]);
    expect([...medianFilter(image, 3).data]).toEqual([1, 1, 1, 1, 1, 1, 1, 1, 2]);
  });

  it.each([3, 5] as const)("agrees with sorting, size %i", (size) => {
    const image = noiseImage(11, 8);
    const filtered = medianFilter(image, size);
    const radius = (size - 1) / 2;
    for (let y = 0; y < 8; y++) {
      for (let x = 0; x < 11; x++) {
        const window: number[] = [];
        for (let dy = -radius; dy <= radius; dy++) {
          for (let dx = -radius; dx <= radius; dx++) {
            window.push(
              image.data[Math.min(7, Math.max(0, y + dy)) * 11 + Math.min(10, Math.max(0, x + dx))],
            );
          }
        }
        expect(filtered.data[y * 11 + x]).toBe(median(window));
      }
    }
  });
});
