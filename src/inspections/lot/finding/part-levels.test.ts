import { describe, expect, it } from "vitest";
import { drawnRadiograph, slab } from "../../../../test/support/drawn-radiograph.ts";
import type { Image } from "../../../numeric/image.ts";
import { cutAtLevel, findPlateaus, outlinePoints } from "./part-levels.ts";

// Slabs of known size: areas are counted by hand.
function picture(...matter: Parameters<typeof drawnRadiograph>[2][number][]): Image {
  const { attenuation: data } = drawnRadiograph(160, 100, matter, { noise: 0, unsharpPx: 0 });
  return { width: 160, height: 100, data };
}

/** Four bodies 40 x 30 of attenuation 0.3, each with a pad 20 x 16 of 0.9 on it. */
const corners = [
  [10, 10],
  [90, 10],
  [10, 60],
  [90, 60],
] as const;
const four = picture(
  ...corners.flatMap(([x, y]) => [
    slab(0.3, [x, y], [x + 39, y + 29]),
    slab(0.9, [x + 10, y + 7], [x + 29, y + 22]),
  ]),
);

describe("a picture cut at a level", () => {
  it("falls into its pieces, with their boxes and middles", () => {
    const { pieces, unitAreaPx } = cutAtLevel(four, 0.2);
    expect(pieces.map((p) => p.boxPx)).toEqual(corners.map(([x, y]) => [x, y, 40, 30]));
    expect(pieces[0].centroidPx).toEqual([29.5, 24.5]);
    expect(unitAreaPx).toBe(1200);
  });

  it("shows what is denser than that level alone", () => {
    expect(cutAtLevel(four, 0.5).pieces.map((p) => p.filledPx)).toEqual([320, 320, 320, 320]);
    expect(cutAtLevel(four, 2).pieces).toEqual([]);
  });

  it("counts a hole as part of its piece, but not as dense", () => {
    const frame = picture(slab(1, [20, 20], [59, 49]), slab(-1, [30, 25], [49, 44]));
    // 40 x 30 with a hole of 20 x 20.
    expect(cutAtLevel(frame, 0.5).pieces).toMatchObject([{ filledPx: 1200, areaPx: 800 }]);
  });

  it("takes for one part each what is free of the border and of the larger ones' size", () => {
    const { pieces, units } = cutAtLevel(
      picture(
        slab(1, [0, 10], [39, 39]),
        slab(1, [60, 10], [99, 39]),
        slab(1, [110, 10], [149, 39]),
        slab(1, [60, 60], [79, 69]),
      ),
      0.5,
    );
    expect(pieces.map((p) => p.touchesBorder)).toEqual([true, false, false, false]);
    expect(units.map((p) => p.boxPx[0])).toEqual([60, 110]);
  });

  it("gives the ends of each row of a piece", () => {
    const cut = cutAtLevel(picture(slab(1, [20, 30], [24, 31])), 0.5);
    expect(outlinePoints(cut, cut.pieces[0])).toEqual([
      [20, 30],
      [24, 30],
      [20, 31],
      [24, 31],
    ]);
  });
});

describe("levels over which the same pieces stand out", () => {
  it("are those of the bodies, then those of the pads", () => {
    const plateaus = findPlateaus(four, 0.004);
    expect(plateaus.map(({ count, unitAreaPx }) => ({ count, unitAreaPx }))).toEqual([
      { count: 4, unitAreaPx: 1200 },
      { count: 4, unitAreaPx: 320 },
    ]);
    // Bodies stand out up to their own attenuation, pads from there to theirs.
    const [body, pad] = plateaus;
    expect(body.from).toBeLessThan(0.05);
    expect(body.to).toBeLessThan(0.3);
    expect(body.to).toBeGreaterThan(0.2);
    expect(pad.from).toBeGreaterThan(0.3);
    expect(pad.to).toBeLessThanOrEqual(1.2);
    expect(body).toMatchObject({ solidity: 1, rectangularity: 1 });
  });

  it("tell a ring from a solid piece", () => {
    const ring = picture(slab(0.5, [20, 20], [79, 79]), slab(-0.5, [30, 30], [69, 69]));
    // 60 x 60 with a hole of 40 x 40: 2000 of 3600 dense.
    expect(findPlateaus(ring, 0.004)[0].solidity).toBeCloseTo(2000 / 3600, 6);
  });

  it("are none where nothing stands out of the noise", () => {
    expect(findPlateaus(picture(), 0.004)).toEqual([]);
    expect(findPlateaus(picture(slab(0.02, [20, 20], [99, 79])), 0.01)).toEqual([]);
  });
});
