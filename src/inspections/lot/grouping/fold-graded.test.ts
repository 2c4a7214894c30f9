import { describe, expect, it } from "vitest";
import { foldGraded } from "./fold-graded.ts";
import type { DistanceMatrix, LinkedCharacteristic } from "./group-parts.ts";
import { groupParts } from "./group-parts.ts";

// Parts at places on a line, in units of the linking difference: worked by hand.

function onLine(...places: number[]): DistanceMatrix {
  return {
    size: places.length,
    values: Float64Array.from(places.flatMap((p) => places.map((q) => Math.abs(p - q)))),
  };
}

const die = (values: readonly (number | null)[]): LinkedCharacteristic => ({
  name: "dieLength",
  values,
  u: 0.4,
  floor: 3,
  spread: 0.2,
  link: 3,
});

describe("groups that are not told from the largest", () => {
  const row = onLine(0, 0, 0, 0.1, 0.3, 0.6, 0.9, 1.2, 1.5, 1.6);

  it("go back into it where the parts make one row without a gap", () => {
    const cut = groupParts(row);
    expect(new Set(cut).size).toBeGreaterThan(1);
    expect(foldGraded(row, row, [], cut)).toEqual(cut.map(() => 0));
  });

  it("stay apart where no part lies between, or where a size tells them apart", () => {
    const apart = onLine(0, 0, 0, 0.1, 0.2, 1.6, 1.7, 1.8);
    const groups = [0, 0, 0, 0, 0, 1, 1, 1];
    expect(foldGraded(apart, apart, [], groups)).toEqual(groups);
    const alike = onLine(0, 0, 0, 0, 0, 0, 0, 0);
    const sizes = die([100, 100, 100, 100, 100, 90, 90, 90]);
    expect(foldGraded(apart, alike, [sizes], groups)).toEqual(groups);
  });

  it("let go of a part that lacks the number which tells them apart", () => {
    const sizes = die([100, 100, 100, 100, 100, 90, null, 90]);
    const alike = onLine(0, 0, 0, 0, 0, 0, 0, 0);
    const byDie = onLine(0, 0, 0, 0, 0, 3.3, 0, 3.3);
    expect(foldGraded(byDie, alike, [sizes], [0, 0, 0, 0, 0, 1, 1, 1])).toEqual([0, 0, 0, 0, 0, 1, 0, 1]);
    // Alone in its group it leaves none behind.
    const [alone] = [die([100, 100, 100, 100, 100, 90, 90, null])];
    expect(
      foldGraded(onLine(0, 0, 0, 0, 0, 3.3, 3.3, 0.1), alike, [alone], [0, 0, 0, 0, 0, 1, 1, 1]),
    ).toEqual([0, 0, 0, 0, 0, 1, 1, 0]);
  });

  it("are left as they are where the largest is too small to say what is usual", () => {
    const few = onLine(0, 0, 0.4);
    expect(foldGraded(few, few, [], [0, 0, 1])).toEqual([0, 0, 1]);
  });
});
