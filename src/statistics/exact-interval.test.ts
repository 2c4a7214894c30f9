import { describe, expect, it } from "vitest";
import { countedShare, exactInterval } from "./exact-interval.ts";

describe("exactInterval", () => {
  // scipy 1.10.1, scipy.stats.binomtest(count, of).proportion_ci(0.95, method="exact").
  it.each([
    [0, 3, 0, 0.707598],
    [0, 29, 0, 0.119445],
    [0, 300, 0, 0.012221],
    [1, 29, 0.000872647, 0.177644],
    [4, 20, 0.057334, 0.436614],
    [15, 148, 0.057844, 0.16165],
    [81, 263, 0.252737, 0.367622],
    [29, 29, 0.880555, 1],
    [49, 50, 0.89353, 0.999494],
  ])("of %i in %i is scipy's", (count, of, low, high) => {
    const interval = exactInterval(count, of);
    expect(interval.low).toBeCloseTo(low, 5);
    expect(interval.high).toBeCloseTo(high, 5);
  });

  it("is the worked example of the NIST/SEMATECH e-Handbook 7.2.4.1: 4 of 20 at 90 %", () => {
    const { low, high } = exactInterval(4, 20, 0.9);
    expect(low).toBeCloseTo(0.071354, 6);
    // The handbook's sixth digit is off by one: scipy gives 0.40102812.
    expect(Math.abs(high - 0.401029)).toBeLessThan(1e-6);
  });

  it("has the closed form 1 - (tail)^(1/n) where nothing was counted", () => {
    expect(exactInterval(0, 1000).high).toBeCloseTo(1 - 0.025 ** (1 / 1000), 10);
  });

  it("refuses what cannot have been counted", () => {
    for (const [count, of] of [[1, 0], [3, 2], [-1, 4], [0.5, 4]] as const) // biome-ignore format: four pairs
      expect(() => exactInterval(count, of)).toThrow(RangeError);
    expect(() => exactInterval(1, 4, 95)).toThrow(/level between 0 and 1/);
  });
});

describe("countedShare", () => {
  it("has no share where nothing was tried", () => {
    expect(countedShare(0, 0)).toEqual({ count: 0, of: 0, share: null, low: null, high: null });
    expect(countedShare(3, 4).share).toBe(0.75);
  });
});
