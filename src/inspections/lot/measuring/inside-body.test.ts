import { describe, expect, it } from "vitest";
import { drawnPart, drawnPartPx } from "../../../../test/support/drawn-part.ts";
import type { Slab } from "../../../../test/support/drawn-radiograph.ts";
import { drawnRadiograph, placed, slab } from "../../../../test/support/drawn-radiograph.ts";
import type { Image } from "../../../numeric/image.ts";
import { imageOf } from "../../../numeric/test-images.ts";
import { bodyLevels, insideValues, lookInsideBody } from "./inside-body.ts";

// Parts are drawn: mould 0.4, metal on it 1.2, die on that 1.5.
const body = { centrePx: [80, 60], angleRad: 0, lengthPx: 120, widthPx: 80 } as const;

function inFrame(matter: readonly Slab[]): Image {
  const { attenuation: data } = drawnRadiograph(161, 121, placed(matter, [80, 60]));
  return { width: 161, height: 121, data };
}

describe("inside a body", () => {
  const seen = lookInsideBody(inFrame(drawnPart()), body, 0.004);

  it("mould and metal have their levels", () => {
    expect(seen.levels.mould).toBeCloseTo(0.4, 1);
    expect(seen.levels.metal).toBeGreaterThan(1.15);
    expect(seen.levels.metal).toBeLessThan(1.55);
    expect(seen.levels.between).toBeCloseTo((seen.levels.mould + seen.levels.metal) / 2, 6);
  });

  it("the pad is found, where it lies", () => {
    expect(Math.abs((seen.pad?.lengthPx ?? 0) - drawnPartPx.pad[0])).toBeLessThanOrEqual(3);
    expect(Math.abs((seen.pad?.widthPx ?? 0) - drawnPartPx.pad[1])).toBeLessThanOrEqual(3);
    expect(Math.abs((seen.pad?.centrePx[0] ?? 0) - 80)).toBeLessThanOrEqual(1);
  });

  it("the die is found on the pad, with its level", () => {
    expect(Math.abs((seen.die?.lengthPx ?? 0) - drawnPartPx.die[0])).toBeLessThanOrEqual(3);
    expect(Math.abs((seen.die?.widthPx ?? 0) - drawnPartPx.die[1])).toBeLessThanOrEqual(3);
    expect(seen.dieLevel).toBeCloseTo(1.5, 1);
  });

  it("bars that hold the pad are not taken for pad", () => {
    const held = lookInsideBody(
      inFrame([...drawnPart(), slab(0.8, [-60, -3], [-31, 2]), slab(0.8, [30, -3], [59, 2])]),
      body,
      0.004,
    );
    expect(Math.abs((held.pad?.lengthPx ?? 0) - drawnPartPx.pad[0])).toBeLessThanOrEqual(3);
  });
});

describe("levels of a body", () => {
  it("are one when everything in it is alike", () => {
    const even: Image = { width: 161, height: 121, data: new Float32Array(161 * 121).fill(0.5) };
    expect(bodyLevels(even, body)).toEqual({ mould: 0.5, metal: 0.5, between: 0.5 });
  });

  it("are read inside the rectangle, no-values left out", () => {
    const image = imageOf([
      [1, 2, 3, 4],
      [5, 6, Number.NaN, 8],
      [9, 10, 11, 12],
    ]);
    // x from 1 to 3, y from 0.5 to 2.5: rows 1 and 2.
    const rect = { centrePx: [2, 1.5], angleRad: 0, lengthPx: 2, widthPx: 2 } as const;
    expect(insideValues(image, rect)).toEqual([6, 8, 10, 11, 12]);
  });
});
