import { describe, expect, it } from "vitest";
import { ShapeError } from "./errors.ts";
import { logRatio, naturalLog } from "./logarithm.ts";

describe("naturalLog", () => {
  it("agrees with the host's logarithm to the last figures", () => {
    for (let k = -400; k <= 400; k++) {
      const x = 1.2345 ** k * (1 + k / 977);
      const expected = Math.log(x);
      expect(Math.abs(naturalLog(x) - expected)).toBeLessThanOrEqual(4e-16 * Math.max(1, Math.abs(expected)));
    }
  });

  it("keeps figures near 1", () => {
    expect(naturalLog(1 + 2 ** -40)).toBeCloseTo(2 ** -40 - 2 ** -81, 26);
    expect(naturalLog(1)).toBe(0);
  });

  it("treats what has no logarithm as Math.log does", () => {
    for (const x of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) expect(naturalLog(x)).toBe(Math.log(x));
  });
});

describe("logRatio", () => {
  it("gives e-folds below the reference, by hand", () => {
    const out = logRatio(Float32Array.of(100, 50, 10, -3, Number.NaN), 0, 100, 1);
    [0, Math.log(2), Math.log(10), Math.log(100), Math.log(100)].forEach((value, i) => {
      expect(out[i]).toBeCloseTo(value, 5);
    });
  });

  it("takes dark and reference per value", () => {
    const out = logRatio(Uint16Array.of(110, 220), Uint16Array.of(10, 20), Float32Array.of(200, 200), 1);
    expect(out[0]).toBeCloseTo(Math.log(2), 6);
    expect(out[1]).toBeCloseTo(0, 6);
  });

  it("refuses lengths that disagree", () => {
    expect(() => logRatio(Uint16Array.of(1, 2), Uint16Array.of(1), 5, 1)).toThrow(ShapeError);
  });
});
