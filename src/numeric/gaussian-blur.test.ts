import { describe, expect, it } from "vitest";
import { RangeOfArgumentError, ShapeError } from "./errors.ts";
import { gaussianBlur, gaussianTaps } from "./gaussian-blur.ts";
import { imageOf, largestDifference, mirrored, noiseImage } from "./test-images.ts";

describe("gaussianBlur", () => {
  it("spreads a point into the product of its taps", () => {
    const image = imageOf([
      [0, 0, 0, 0, 0],
      [0, 0, 0, 0, 0],
      [0, 0, 1, 0, 0],
      [0, 0, 0, 0, 0],
      [0, 0, 0, 0, 0],
    ]);
    const taps = gaussianTaps(0.5);
    const blurred = gaussianBlur(image, 0.5);
    expect(blurred.data[12]).toBeCloseTo(taps[0] * taps[0], 6);
    expect(blurred.data[13]).toBeCloseTo(taps[0] * taps[1], 6);
    expect(blurred.data[18]).toBeCloseTo(taps[1] * taps[1], 6);
    expect(image.data[12]).toBe(1);
  });

  it("leaves a flat picture flat, also when the kernel is larger than the picture", () => {
    const flat = imageOf([
      [3, 3, 3],
      [3, 3, 3],
    ]);
    expect(largestDifference(gaussianBlur(flat, 4).data, flat.data)).toBeLessThan(1e-6);
  });

  it("commutes with mirroring", () => {
    const image = noiseImage(17, 9);
    expect(
      largestDifference(gaussianBlur(mirrored(image), 1.3).data, mirrored(gaussianBlur(image, 1.3)).data),
    ).toBeLessThan(1e-6);
  });

  it("copies at sigma 0 and writes into out", () => {
    const image = noiseImage(5, 4);
    const out = noiseImage(5, 4, 9);
    expect(gaussianBlur(image, 0, out)).toBe(out);
    expect(out.data).toEqual(image.data);
  });

  it("refuses a negative sigma and a wrong output", () => {
    expect(() => gaussianBlur(noiseImage(4, 4), -1)).toThrow(RangeOfArgumentError);
    expect(() => gaussianBlur(noiseImage(4, 4), 1, noiseImage(4, 5))).toThrow(ShapeError);
  });
});
