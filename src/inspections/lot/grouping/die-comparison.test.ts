import { beforeAll, describe, expect, it } from "vitest";
import { comparedDrawnLot } from "../../../../test/support/drawn-lot.ts";
import { faultyTen } from "../../../../test/support/drawn-lots.ts";
import { drawnPartPx } from "../../../../test/support/drawn-part.ts";
import { dieComparison } from "./die-comparison.ts";

// Parts are drawn (test/support/drawn-part.ts, drawn-lots.ts): what each holds and how it lies is known by construction.

describe("a lot with an empty package", () => {
  let all: Awaited<ReturnType<typeof comparedDrawnLot>>;
  beforeAll(async () => {
    all = await comparedDrawnLot(faultyTen.poses);
  });

  it("has its dies compared on tiles of their own, the empty package left out", () => {
    const dies = dieComparison(all.lot, all.measured);
    expect(dies?.of).toEqual([0, 1, 2, 4, 5, 6, 7, 8, 9]);
    const { width, height } = dies?.where ?? { width: 0, height: 0 };
    // As the lot's dies are first seen: in whole px, blur and what is left of the step around them included.
    expect(Math.abs(width - drawnPartPx.die[0])).toBeLessThanOrEqual(3);
    // The middle of each tile is the middle of its die in the picture.
    const map = dies?.toPicture[2];
    const middle = (p: number, q: number, r: number) => (p * (width - 1)) / 2 + (q * (height - 1)) / 2 + r;
    expect(Math.abs(middle(map?.a ?? 0, map?.b ?? 0, map?.c ?? 0) - 118.2)).toBeLessThan(0.4);
    expect(Math.abs(middle(map?.d ?? 0, map?.e ?? 0, map?.f ?? 0) - 101)).toBeLessThan(0.4);
  });

  it("has its die tiles lie as the dies do, turned with their parts", () => {
    const dies = dieComparison(all.lot, all.measured);
    const turns = dies?.toPicture.map((map) => Math.atan2(map.d, map.a)) ?? [];
    expect(Math.abs(Math.sin(turns[0]))).toBeLessThan(0.01);
    dies?.of.forEach((part, k) => {
      const drawn = (((faultyTen.poses[part] as { turnDeg?: number }).turnDeg ?? 0) * Math.PI) / 180;
      // Relative to the first part, which lies straight; to half a degree: a die is 36 px long.
      expect(Math.cos(turns[k] - turns[0] - drawn), `part ${part}`).toBeGreaterThan(
        Math.cos(0.5 * (Math.PI / 180)),
      );
    });
  });
});
