import { describe, expect, it } from "vitest";
import { comparedDrawnLot } from "../../../../test/support/drawn-lot.ts";
import { drawnPart } from "../../../../test/support/drawn-part.ts";
import type { Slab } from "../../../../test/support/drawn-radiograph.ts";
import { noScale, typedScale } from "../../../radiograph/scale.ts";
import { diePlace, isQuarterTurned } from "./die-place.ts";
import { groupScenes } from "./group-scenes.ts";

// Parts are drawn: where each die lies on its pad is known by construction.

function withDie(centrePx: readonly [number, number], turnDeg: number): Slab[] {
  const rect = { centrePx, angleRad: (turnDeg * Math.PI) / 180, lengthPx: 36, widthPx: 24 };
  return [...drawnPart("die"), { attenuation: 0.3, rect }];
}

/** Dies that lie as placement leaves them, within a pixel and a degree. */
const usual = Array.from({ length: 9 }, (_, i) =>
  withDie([Math.sin(3 * i), Math.cos(5 * i)], Math.sin(7 * i)),
);

async function calledOn(part: Slab[]) {
  const poses = usual.map((own, i) => ({ part: i === 4 ? part : own, turnDeg: 0.5 * Math.cos(i) }));
  const { lot, measured, compared } = await comparedDrawnLot(poses);
  const scenes = groupScenes(lot, measured, compared.groupOf);
  return {
    groups: compared.groups,
    inPx: diePlace(lot, measured, scenes, noScale),
    inMm: diePlace(lot, measured, scenes, typedScale(50)),
  };
}

describe("the die of one of nine parts", () => {
  it("is called where it lies elsewhere, by how much, and splits no lot", async () => {
    const { groups, inPx, inMm } = await calledOn(withDie([9, -1], 0));
    expect(groups).toBe(1);
    expect(inPx.calls.map((calls) => calls.length)).toEqual([0, 0, 0, 0, 1, 0, 0, 0, 0]);
    expect(inPx.calls[4]?.[0]).toMatchObject({ kind: "die" });
    expect(inPx.calls[4]?.[0]?.says).toMatch(/lies (8|9|10)(\.\d)? px to the right/);
    expect(inMm.calls[4]?.[0]?.says).toMatch(/lies 0\.(4|5)\d mm to the right/);
    expect(inPx.compared.map((c) => [c.characteristic, c.assessable])).toEqual([
      ["diePlace", true],
      ["dieTurn", true],
    ]);
  });

  it("is not called where it lies as the others do", async () => {
    const { inPx } = await calledOn(usual[4] as Slab[]);
    expect(inPx.calls.flat()).toEqual([]);
  });
});

describe("a quarter turn", () => {
  it("shows where the sides are the group's, the other way round, and are not alike", () => {
    expect(isQuarterTurned({ lengthPx: 94, widthPx: 119.5 }, 119, 94.5)).toBe(true);
    expect(isQuarterTurned({ lengthPx: 119, widthPx: 94 }, 119, 94.5)).toBe(false);
    expect(isQuarterTurned({ lengthPx: 94, widthPx: 130 }, 119, 94.5)).toBe(false);
    expect(isQuarterTurned({ lengthPx: 100, widthPx: 103 }, 103, 100)).toBe(false);
  });
});
