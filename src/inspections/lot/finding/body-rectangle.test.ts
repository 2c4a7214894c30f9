import { describe, expect, it } from "vitest";
import { drawnPart, drawnPartPx } from "../../../../test/support/drawn-part.ts";
import { drawnRadiograph, placed } from "../../../../test/support/drawn-radiograph.ts";
import { fitBody } from "./body-edges.ts";
import { coarseBody, edgeDirections, reachFrom } from "./body-rectangle.ts";
import { cutAtLevel } from "./part-levels.ts";

// The part is drawn: where its body lies is known by construction.
function partAt(centrePx: readonly [number, number], turnDeg: number) {
  const { attenuation: data } = drawnRadiograph(220, 200, placed(drawnPart(), centrePx, turnDeg));
  const image = { width: 220, height: 200, data };
  const cut = cutAtLevel(image, 0.2);
  const piece = cut.pieces.reduce((p, q) => (q.areaPx > p.areaPx ? q : p));
  return { image, cut, piece };
}

const degrees = (rad: number) => (rad * 180) / Math.PI;

describe("the body of a part", () => {
  for (const turnDeg of [0, 7, -23.5, 44, 62]) {
    it(`gives its edges' direction, within a quarter turn: ${turnDeg} degrees`, () => {
      const { image, cut, piece } = partAt([108.3, 97.6], turnDeg);
      const off = (degrees(edgeDirections(image, cut, piece)[0]) - turnDeg + 900 + 45) % 90;
      // The fit that follows looks for a turn of 0.05 rad, 2.9 degrees, either way.
      expect(Math.abs(off - 45)).toBeLessThan(2.5);
    });
  }

  it("ends where its leads begin", () => {
    const { image, cut, piece } = partAt([110, 100], 0);
    const coarse = coarseBody(cut, piece, 0);
    const [length, width] = drawnPartPx.body;
    expect(Math.abs(coarse.lengthPx - length)).toBeLessThanOrEqual(1);
    expect(Math.abs(coarse.widthPx - width)).toBeLessThanOrEqual(1);
    expect(Math.abs(coarse.centrePx[0] - 110)).toBeLessThanOrEqual(0.5);
    expect(Math.abs(coarse.centrePx[1] - 100)).toBeLessThanOrEqual(0.5);
    // The leads reach 56 px from its middle.
    const [along, across] = reachFrom(coarse, image, 1, cut, piece);
    expect(Math.abs(across - drawnPartPx.reach)).toBeLessThanOrEqual(1);
    expect(Math.abs(along - length / 2)).toBeLessThanOrEqual(1);
  });

  for (const turnDeg of [0, 4.2, -31]) {
    it(`is outlined at the foot of its edges, a pixel or so outside their middle: ${turnDeg} degrees`, () => {
      const centre = [108.3, 97.6] as const;
      const { image, cut, piece } = partAt(centre, turnDeg);
      const start = coarseBody(cut, piece, edgeDirections(image, cut, piece)[0]);
      const found = fitBody(image, [() => start], 1)?.rectangle;
      const [length, width] = drawnPartPx.body;
      const sides = [found?.lengthPx ?? 0, found?.widthPx ?? 0].sort((p, q) => q - p);
      // Mould sides are drafted: the outline is where attenuation starts to rise, here the outer end of the blur.
      for (const off of [sides[0] - length, sides[1] - width]) {
        expect(off).toBeGreaterThan(0);
        expect(off).toBeLessThan(3);
      }
      expect(
        Math.hypot((found?.centrePx[0] ?? 0) - centre[0], (found?.centrePx[1] ?? 0) - centre[1]),
      ).toBeLessThan(0.3);
      const off = (degrees(found?.angleRad ?? 0) - turnDeg + 900 + 45) % 90;
      expect(Math.abs(off - 45)).toBeLessThan(0.3);
    });
  }

  it("is not outlined where there is none", () => {
    const { attenuation: data } = drawnRadiograph(220, 200, [], { noise: 0 });
    const start = { centrePx: [110, 100], angleRad: 0, lengthPx: 120, widthPx: 80 } as const;
    expect(fitBody({ width: 220, height: 200, data }, [() => start], 1)).toBeNull();
  });
});
