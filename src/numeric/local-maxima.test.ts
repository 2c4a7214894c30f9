import { describe, expect, it } from "vitest";
import { createImage } from "./image.ts";
import { localMaxima, refinePeak } from "./local-maxima.ts";
import { imageOf } from "./test-images.ts";

describe("localMaxima", () => {
  it("orders by height, takes one of a plateau, respects radius, threshold and limit", () => {
    const image = imageOf([[0, 5, 5, 0, 0, 0, 9, 0, 3, 0]]);
    const places = (radius: number, threshold: number, limit?: number) =>
      localMaxima(image, radius, threshold, limit).map((m) => m.x);
    expect(places(1, 1)).toEqual([6, 1, 8]);
    expect(places(2, 1)).toEqual([6, 1]);
    expect(places(1, 4)).toEqual([6, 1]);
    expect(places(1, 1, 1)).toEqual([6]);
  });

  it("refines a Gaussian spot to a few hundredths of a pixel", () => {
    const image = createImage(15, 15);
    for (let y = 0; y < 15; y++) {
      for (let x = 0; x < 15; x++) image.data[y * 15 + x] = Math.exp(-((x - 7.3) ** 2 + (y - 6.8) ** 2) / 18);
    }
    const [x, y] = refinePeak(image, 7, 7);
    expect(Math.abs(x - 7.3)).toBeLessThan(0.03);
    expect(Math.abs(y - 6.8)).toBeLessThan(0.03);
    expect(refinePeak(image, 0, 3)).toEqual([0, 3]);
  });
});
