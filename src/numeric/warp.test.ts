import { describe, expect, it } from "vitest";
import { imageOf, largestDifference, noiseImage } from "./test-images.ts";
import { sampleBilinear, sampleCubic, warpAffine, warpAffineCubic } from "./warp.ts";

const identity = { a: 1, b: 0, c: 0, d: 0, e: 1, f: 0 };

describe("warpAffine", () => {
  const image = imageOf([
    [0, 1, 2],
    [10, 11, 12],
    [20, 21, 22],
  ]);

  it("is exact on a plane between centres", () => {
    expect(sampleBilinear(image, 0.25, 1.5)).toBeCloseTo(15.25, 6);
    expect(sampleBilinear(image, 2, 2)).toBe(22);
    expect(sampleBilinear(image, 2.01, 0)).toBeNaN();
  });

  it("copies under the identity, last row and column included", () => {
    expect(warpAffine(image, identity, 3, 3).data).toEqual(image.data);
    expect(largestDifference(warpAffineCubic(image, identity, 3, 3).data, image.data)).toBeLessThan(1e-6);
  });

  it("reads map(x, y) and fills outside", () => {
    const moved = warpAffine(image, { ...identity, c: 1, f: 0 }, 3, 2, -1);
    expect([...moved.data]).toEqual([1, 2, -1, 11, 12, -1]);
  });

  it("turns by 90 degrees exactly", () => {
    const turned = warpAffine(image, { a: 0, b: 1, c: 0, d: -1, e: 0, f: 2 }, 3, 3);
    expect([...turned.data]).toEqual([20, 10, 0, 21, 11, 1, 22, 12, 2]);
  });

  it("handles a picture one pixel wide", () => {
    expect(sampleBilinear(imageOf([[4], [6]]), 0, 0.5)).toBe(5);
  });

  it("is exact on quadratics with cubic taps", () => {
    const rows = Array.from({ length: 8 }, (_, y) =>
      Array.from({ length: 8 }, (_, x) => x * x - 3 * x * y + y),
    );
    const at = (x: number, y: number) => x * x - 3 * x * y + y;
    expect(sampleCubic(imageOf(rows), 3.3, 4.6)).toBeCloseTo(at(3.3, 4.6), 4);
  });

  it("returns near the start after there and back", () => {
    const smooth = {
      ...noiseImage(40, 40),
      data: noiseImage(40, 40).data.map((_, i) => Math.sin((i % 40) / 6) + Math.cos(Math.floor(i / 40) / 7)),
    };
    const there = warpAffineCubic(smooth, { ...identity, c: 0.4, f: -0.3 }, 40, 40, 0);
    const back = warpAffineCubic(there, { ...identity, c: -0.4, f: 0.3 }, 40, 40, 0);
    for (let y = 5; y < 35; y++)
      for (let x = 5; x < 35; x++) expect(back.data[y * 40 + x]).toBeCloseTo(smooth.data[y * 40 + x], 2);
  });
});
