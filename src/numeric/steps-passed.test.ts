import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { RangeOfArgumentError } from "./errors.ts";
import { stepsPassed } from "./steps-passed.ts";

describe("stepsPassed", () => {
  it("counts the levels below each value; one on a level is not above it", () => {
    const values = Float32Array.of(-1, 0.5, 0.75, 1, 2, 1000, Number.NaN, Number.POSITIVE_INFINITY);
    expect([...stepsPassed(values, [0.5, 1, 2])]).toEqual([0, 0, 1, 1, 2, 3, 0, 3]);
  });

  it("counts what comparing with every level counts, for levels of any spacing", () => {
    const level = fc.oneof(fc.double({ min: -2, max: 2, noNaN: true }), fc.constantFrom(0, 1e-9, 1e6));
    fc.assert(
      fc.property(
        fc.uniqueArray(level, { maxLength: 40 }),
        fc.array(fc.oneof(level, fc.double({ noNaN: true }))),
        (unordered, extra) => {
          const levels = unordered.sort((p, q) => p - q);
          const values = Float32Array.from([...levels, ...extra]);
          const counted = Array.from(values, (v) => levels.filter((l) => v > l).length);
          expect([...stepsPassed(values, levels)]).toEqual(counted);
        },
      ),
      { numRuns: 500 },
    );
  });

  it("takes no more levels than a byte counts", () => {
    const levels = Array.from({ length: 256 }, (_, i) => i);
    expect(() => stepsPassed(Float32Array.of(1), levels)).toThrow(RangeOfArgumentError);
  });
});
