import { beforeAll, describe, expect, it } from "vitest";
import { comparedDrawnLot } from "../../../../test/support/drawn-lot.ts";
import { faultyTen } from "../../../../test/support/drawn-lots.ts";
import { drawnPartPx } from "../../../../test/support/drawn-part.ts";

// Parts are drawn (test/support/drawn-part.ts, drawn-lots.ts): what each holds and how it lies is known by construction.

const { empty } = faultyTen;

describe("a lot measured, one of its packages empty", () => {
  let all: Awaited<ReturnType<typeof comparedDrawnLot>>;
  beforeAll(async () => {
    all = await comparedDrawnLot(faultyTen.poses);
  });

  it("has the dies measured, and none where there is none", () => {
    all.measured.parts.forEach(({ die }, i) => {
      if (i === empty) {
        expect(die).toBeNull();
        return;
      }
      expect(Math.abs((die?.rectangle.lengthPx ?? 0) - drawnPartPx.die[0]), `part ${i}`).toBeLessThan(0.7);
      expect(Math.abs((die?.rectangle.widthPx ?? 0) - drawnPartPx.die[1]), `part ${i}`).toBeLessThan(0.7);
    });
  });

  it("has its leads counted on every part", () => {
    expect(all.measured.parts.map((p) => p.leads?.count)).toEqual(
      faultyTen.poses.map(() => drawnPartPx.leads),
    );
  });
});
