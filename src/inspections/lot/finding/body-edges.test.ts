import { describe, expect, it } from "vitest";
import { drawnRadiograph, slab } from "../../../../test/support/drawn-radiograph.ts";
import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";
import { edgeLevels, fitBody } from "./body-edges.ts";

// A substrate 180 x 140 of 0.06 with a mould cap 9 px inside its edge, in a pocket whose wall is as dense as the
// substrate: places and levels are known by construction. The outline lies at the foot of its blur, a pixel outside.
const centrePx = [120, 100] as const;
const middle = ([w, h]: readonly [number, number], attenuation: number) =>
  slab(
    attenuation,
    [centrePx[0] - w / 2, centrePx[1] - h / 2],
    [centrePx[0] + w / 2 - 1, centrePx[1] + h / 2 - 1],
  );
const pocket = [middle([204, 164], 0.06), middle([198, 158], -0.06)];
const steps = [...pocket, middle([180, 140], 0.06), middle([162, 122], 0.14)];

function imageOf(matter: Parameters<typeof drawnRadiograph>[2]) {
  const { attenuation: data } = drawnRadiograph(240, 200, matter, { noise: 0.002 });
  return { width: 240, height: 200, data };
}

const start = (turnRad = 0): OrientedRectangle => ({
  centrePx: [121, 99],
  angleRad: turnRad,
  lengthPx: 178,
  widthPx: 141,
});

describe("the edge of a body", () => {
  it("is the one nearest to its coarse outline, not a step inside or the wall outside", () => {
    const levels = edgeLevels(imageOf(steps), start(), 14);
    expect(levels?.inside).toBeGreaterThan(0.05);
    expect(levels?.inside).toBeLessThan(0.07);
    expect(Math.abs(levels?.outside ?? 1)).toBeLessThan(0.01);
  });

  it("is outlined where it is fainter than what it carries, known but to two degrees", () => {
    for (const turnRad of [0, 0.035, -0.03]) {
      const fit = fitBody(imageOf(steps), [() => start(turnRad)], 3);
      expect(Math.abs((fit?.rectangle.lengthPx ?? 0) - 182)).toBeLessThan(1.5);
      expect(Math.abs((fit?.rectangle.widthPx ?? 0) - 142)).toBeLessThan(1.5);
      expect(Math.abs(fit?.rectangle.angleRad ?? 1)).toBeLessThan(0.003);
    }
  });

  it("is looked for along the next likely direction where the first fits nothing", () => {
    const fit = fitBody(imageOf(steps), [() => start(0.6), () => start()], 2);
    expect(Math.abs(fit?.rectangle.angleRad ?? 1)).toBeLessThan(0.003);
    expect(fitBody(imageOf(steps), [], 2)).toBeNull();
  });

  it("is nowhere in an even field", () => {
    const { width, height } = imageOf([]);
    expect(edgeLevels({ width, height, data: new Float32Array(width * height) }, start(), 14)).toBeNull();
  });
});
