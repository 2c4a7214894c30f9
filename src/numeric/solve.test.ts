import { describe, expect, it } from "vitest";
import { ShapeError, SingularError } from "./errors.ts";
import { solveGeneral, solveSymmetric } from "./solve.ts";

describe("small dense systems", () => {
  it("solves by hand", () => {
    const [x, y] = solveSymmetric(Float64Array.of(4, 2, 2, 3), Float64Array.of(10, 9));
    expect(x).toBeCloseTo(1.5, 12);
    expect(y).toBeCloseTo(2, 12);
    // The first pivot is zero: rows must change places.
    expect([...solveGeneral(Float64Array.of(0, 2, 3, 1), Float64Array.of(4, 5))]).toEqual([1, 2]);
  });

  it("undoes a multiplication", () => {
    const a = Float64Array.of(5, -2, 1, 3, 0.5, 2, -1, 4, 7);
    const x = [1, -2, 0.25];
    const b = Float64Array.from(
      [0, 1, 2],
      (i) => a[3 * i] * x[0] + a[3 * i + 1] * x[1] + a[3 * i + 2] * x[2],
    );
    solveGeneral(a, b).forEach((value, i) => {
      expect(value).toBeCloseTo(x[i], 12);
    });
  });

  it("refuses dependent equations and wrong sizes", () => {
    expect(() => solveSymmetric(Float64Array.of(1, 2, 2, 4), Float64Array.of(1, 2))).toThrow(SingularError);
    expect(() => solveGeneral(Float64Array.of(1, 2, 2, 4), Float64Array.of(1, 2))).toThrow(SingularError);
    expect(() => solveGeneral(Float64Array.of(1, 2), Float64Array.of(1, 2))).toThrow(ShapeError);
  });
});
