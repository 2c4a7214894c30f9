import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { RangeOfArgumentError } from "./errors.ts";
import { median, medianAbsoluteDeviation, quantile, robustSpread } from "./order.ts";
import { noiseImage } from "./test-images.ts";

describe("order statistics", () => {
  it("interpolates by hand and keeps the input's order", () => {
    const values = [9, 1, 5, 3];
    expect(median(values)).toBe(4);
    expect(quantile(values, 0.25)).toBe(2.5);
    expect(values).toEqual([9, 1, 5, 3]);
    expect(medianAbsoluteDeviation([1, 1, 2, 2, 4, 6, 9])).toBe(1);
  });

  it("equals interpolation in the sorted list", () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -9, max: 9 }), { minLength: 1, maxLength: 60 }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (values, q) => {
          const sorted = [...values].sort((p, r) => p - r);
          const position = q * (sorted.length - 1);
          const k = Math.floor(position);
          const expected = sorted[k] + (position - k) * ((sorted[k + 1] ?? sorted[k]) - sorted[k]);
          expect(quantile(Float32Array.from(values), q)).toBeCloseTo(expected, 10);
        },
      ),
    );
  });

  it("selects among many values as sorting does, negative ones and repeats included", () => {
    const noise = noiseImage(101, 97, 3).data;
    for (const values of [
      noise.map((v) => (v - 0.5) * 1e3),
      noise.map((v) => Math.round(v * 5) - 2),
      noise.map((v) => 1 + v * 1e-4),
      noise.map((v) => -v),
    ]) {
      const sorted = values.slice().sort();
      for (const q of [0, 0.1, 0.5, 0.977, 1]) {
        const position = q * (sorted.length - 1);
        const k = Math.floor(position);
        const expected = sorted[k] + (position - k) * ((sorted[k + 1] ?? sorted[k]) - sorted[k]);
        expect(quantile(values, q)).toBeCloseTo(expected, 9);
      }
    }
  });

  it("refuses no values", () => {
    expect(() => median([])).toThrow(RangeOfArgumentError);
    expect(() => quantile([1], 1.1)).toThrow(RangeOfArgumentError);
  });
});

describe("robustSpread", () => {
  it("is the standard deviation of normal quantiles, one in ten of which is something else", () => {
    // Quartiles of the standard normal distribution: 0.67449 (any table of it).
    const quarters = [-2, -0.67449, -0.67449, 0, 0, 0.67449, 0.67449, 2, 100];
    expect(robustSpread(quarters)).toBeCloseTo(1, 4);
    expect(robustSpread(quarters.map((v) => 3 * v + 7))).toBeCloseTo(3, 3);
    expect(robustSpread([1, 2, 3], 0)).toBeCloseTo(2 / 0.67449, 3);
    expect(robustSpread([])).toBe(0);
  });
});
