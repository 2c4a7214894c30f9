import { describe, expect, it } from "vitest";
import { RangeOfArgumentError } from "./errors.ts";
import { histogram, multiOtsu, otsuThreshold } from "./threshold.ts";

describe("thresholds", () => {
  it("counts, the upper end included, what lies outside left out", () => {
    expect([...histogram([0, 0.5, 1, 2, 4, 5, -1, Number.NaN], 4, 0, 4).counts]).toEqual([2, 1, 1, 1]);
  });

  it("splits the six-level example at 3", () => {
    // Histogram 8, 7, 2, 6, 9, 4: widely reprinted, within-class minimum 0.4909 at level 3 (from memory; recomputed in the reference vectors).
    const of = { low: 0, high: 6, binWidth: 1, counts: Float64Array.of(8, 7, 2, 6, 9, 4) };
    expect(otsuThreshold(of)).toBe(3);
  });

  it("stands in the middle of an empty gap", () => {
    expect(otsuThreshold(histogram([1, 1, 1, 9, 9], 12, 0, 12))).toBe(5.5);
  });

  it("finds three levels", () => {
    const values = [
      ...new Array<number>(20).fill(2),
      ...new Array<number>(10).fill(10),
      ...new Array<number>(15).fill(30),
    ];
    const [first, second] = multiOtsu(histogram(values, 40, 0, 40), 3);
    expect([first > 2 && first <= 10, second > 10 && second <= 30]).toEqual([true, true]);
  });

  it("refuses more classes than levels", () => {
    expect(() => otsuThreshold(histogram([3, 3], 8, 0, 8))).toThrow(RangeOfArgumentError);
  });
});
