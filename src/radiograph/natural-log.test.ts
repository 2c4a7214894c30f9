import { describe, expect, test } from "vitest";
import { logTable, naturalLog } from "./natural-log.ts";

describe("naturalLog", () => {
  test("agrees with the engine's logarithm to 1e-15 of the value or of one", () => {
    let worst = 0;
    for (let k = -3000; k <= 3000; k++) {
      const x = 1.37 ** (k / 4) * (1 + k * 1e-7);
      worst = Math.max(worst, Math.abs(naturalLog(x) - Math.log(x)) / Math.max(1, Math.abs(Math.log(x))));
    }
    expect(worst).toBeLessThan(1e-15);
  });

  test("close to one keeps its relative accuracy", () => {
    // ln(1 + d) = d - d^2 / 2 + ...
    expect(naturalLog(1 + 2 ** -30)).toBeCloseTo(2 ** -30 - 2 ** -61, 25);
    expect(naturalLog(1)).toBe(0);
  });

  test("ends of the number line", () => {
    expect(naturalLog(0)).toBe(Number.NEGATIVE_INFINITY);
    expect(naturalLog(-1)).toBeNaN();
    expect(naturalLog(Number.NaN)).toBeNaN();
    expect(naturalLog(Number.POSITIVE_INFINITY)).toBe(Number.POSITIVE_INFINITY);
    expect(naturalLog(5e-324)).toBeCloseTo(Math.log(5e-324), 10);
  });

  test("the table holds the integers' logarithms", () => {
    const table = logTable(65537);
    for (const v of [1, 2, 3, 255, 4095, 65535, 65536]) expect(table[v]).toBe(Math.fround(naturalLog(v)));
    expect(table[0]).toBe(Number.NEGATIVE_INFINITY);
  });
});
