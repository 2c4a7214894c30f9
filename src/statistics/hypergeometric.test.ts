import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { describeNeeding, needsShared, sharedPath } from "../../test/support/needs.ts";
import { hypergeometric, mostMarked, probabilityFoundAtMost } from "./hypergeometric.ts";

function reference<T>(name: string): T {
  return JSON.parse(readFileSync(sharedPath(`reference/${name}`), "utf8")) as T;
}

interface BoundRow {
  N: number;
  n: number;
  x0_90: number;
  x0_95: number;
  x0_99: number;
  x1_95: number;
}
interface MissRow {
  N: number;
  D: number;
  n: number;
  sensitivity: number;
  P_none_detected: number;
}

describe("hypergeometric", () => {
  it("agrees with counting by hand: 5 parts, 2 marked, 2 drawn", () => {
    const { first, probabilities } = hypergeometric({ lot: 5, marked: 2, drawn: 2 });
    expect(first).toBe(0);
    [3 / 10, 6 / 10, 1 / 10].forEach((p, at) => {
      expect(probabilities[at]).toBeCloseTo(p, 14);
    });
  });

  it("starts where the sample must hold marked parts", () => {
    const { first, probabilities } = hypergeometric({ lot: 10, marked: 8, drawn: 5 });
    expect(first).toBe(3);
    expect(probabilities).toHaveLength(3);
  });

  it("does not underflow in a large lot", () => {
    const draw = { lot: 1_000_000, marked: 500_000, drawn: 5000 };
    expect(probabilityFoundAtMost(2500, draw)).toBeGreaterThan(0.5);
    expect(probabilityFoundAtMost(2499, draw)).toBeLessThan(0.5);
  });

  it("refuses numbers that do not fit", () => {
    expect(() => hypergeometric({ lot: 5, marked: 6, drawn: 2 })).toThrow(RangeError);
    expect(() => probabilityFoundAtMost(0, { lot: 5, marked: 1, drawn: 2 }, 0)).toThrow("sensitivity");
    expect(() => mostMarked(10, 3, 4)).toThrow(RangeError);
  });
});

describe("mostMarked", () => {
  it("never falls when more is found, or when detection is worse", () => {
    let before = -1;
    for (let found = 0; found <= 20; found++) {
      const bound = mostMarked(300, 20, found);
      expect(bound).toBeGreaterThanOrEqual(before);
      expect(mostMarked(300, 20, found, 0.05, 0.8)).toBeGreaterThanOrEqual(bound);
      before = bound;
    }
  });

  it("is the number itself when every part was looked at", () => {
    expect(mostMarked(40, 40, 3)).toBe(3);
    expect(mostMarked(40, 40, 3, 0.05, 0.9)).toBeGreaterThan(3);
  });
});

// Computed with scipy 1.10.1.
describeNeeding(needsShared("reference/03b_lot_upper_bounds.json"), "mostMarked against scipy", () => {
  const { rows } = reference<{ rows: BoundRow[] }>("03b_lot_upper_bounds.json");

  it("gives the same bounds with none and with one found", () => {
    expect(rows.length).toBeGreaterThan(50);
    for (const { N, n, x0_90, x0_95, x0_99, x1_95 } of rows) {
      const ours = [mostMarked(N, n, 0, 0.1), mostMarked(N, n, 0, 0.05), mostMarked(N, n, 0, 0.01)];
      expect([N, n, ...ours]).toEqual([N, n, x0_90, x0_95, x0_99]);
      expect([N, n, mostMarked(N, n, 1, 0.05) - 1]).toEqual([N, n, x1_95]);
    }
  });
});

// Computed with scipy 1.10.1, printed to six digits.
describeNeeding(
  needsShared("reference/03f_imperfect_bayes.json"),
  "imperfect detection against scipy",
  () => {
    const { P_none_detected: rows } = reference<{ P_none_detected: MissRow[] }>("03f_imperfect_bayes.json");

    it("gives the same probability that none is noticed", () => {
      expect(rows.length).toBeGreaterThan(5);
      for (const { N, D, n, sensitivity, P_none_detected } of rows) {
        const ours = probabilityFoundAtMost(0, { lot: N, marked: D, drawn: n }, sensitivity);
        expect(Math.abs(ours / P_none_detected - 1)).toBeLessThan(1e-5);
      }
    });
  },
);
