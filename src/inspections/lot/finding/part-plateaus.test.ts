import { describe, expect, it } from "vitest";
import type { Slab } from "../../../../test/support/drawn-radiograph.ts";
import { drawnRadiograph, slab } from "../../../../test/support/drawn-radiograph.ts";
import { partAtGaps } from "./part-gaps.ts";
import { cutAtLevel } from "./part-levels.ts";
import { standingPlateaus } from "./part-plateaus.ts";

function pictureOf(widthPx: number, heightPx: number, matter: readonly Slab[]) {
  const { attenuation: data } = drawnRadiograph(widthPx, heightPx, matter, { noise: 0.004 });
  return { width: widthPx, height: heightPx, data };
}

/** Bodies 40 x 30 of 0.3 with a pad 16 x 12 of 0.6, `gapPx` from each other. */
function block(columns: number, rows: number, gapPx: number): Slab[] {
  return Array.from({ length: columns * rows }, (_, i) => {
    const x = 20 + (i % columns) * (40 + gapPx);
    const y = 20 + Math.floor(i / columns) * (30 + gapPx);
    return [slab(0.3, [x, y], [x + 39, y + 29]), slab(0.6, [x + 12, y + 9], [x + 27, y + 20])];
  }).flat();
}

describe("bodies whose gaps close at a low level", () => {
  it("are parted near their own attenuation, each with its half of the gaps", () => {
    // Blurred, a gap of 2 px is no deeper than half of the bodies' attenuation, a gap of 1 px than a third.
    for (const gapPx of [2, 1]) {
      const picture = pictureOf(170, 120, block(3, 2, gapPx));
      expect(cutAtLevel(picture, 0.04).pieces).toHaveLength(1);
      const parted = partAtGaps(picture, 0.04);
      expect(parted?.count).toBe(6);
      expect(parted?.cut.level).toBe(0.04);
      for (const { boxPx } of parted?.parts ?? []) {
        expect(Math.abs(boxPx[2] - 41)).toBeLessThanOrEqual(2);
        expect(Math.abs(boxPx[3] - 31)).toBeLessThanOrEqual(2);
      }
    }
  });

  it("are not parted where they are one body, or where most of what stands is gone before they part", () => {
    expect(partAtGaps(pictureOf(170, 120, block(1, 1, 0)), 0.04)).toBeNull();
    // Flush bodies: only their pads stand apart.
    expect(partAtGaps(pictureOf(170, 120, block(3, 2, 0)), 0.04)).toBeNull();
  });
});

describe("plateaus that may be parts", () => {
  it("are those of bodies that fall apart in rows first", () => {
    const row = (y: number) => [
      ...block(3, 1, 10).map(({ rect, attenuation }) => ({
        attenuation,
        rect: { ...rect, centrePx: [rect.centrePx[0], rect.centrePx[1] + y] as const },
      })),
      // A film under each row, as dense as a sixth of a body.
      slab(0.05, [20, 20 + y], [159, 49 + y]),
    ];
    const [bodies] = standingPlateaus(pictureOf(180, 140, [...row(0), ...row(60)]), 0.004, 100);
    expect(bodies).toMatchObject({ count: 6 });
  });

  it("are those of bodies that stand free, not those that a tray's walls join", () => {
    // Walls of 0.03, 6 px wide, along and between bodies 6 px apart: they touch every body.
    const walls = [14, 60, 106, 152].map((x) => slab(0.03, [x, 14], [x + 5, 91]));
    const across = [14, 50, 86].map((y) => slab(0.03, [14, y], [157, y + 5]));
    const [bodies] = standingPlateaus(
      pictureOf(174, 108, [...walls, ...across, ...block(3, 2, 6)]),
      0.004,
      100,
    );
    expect(bodies).toMatchObject({ count: 6 });
    expect(bodies.touching).toBeUndefined();
    expect(Math.abs(bodies.unitAreaPx / 1200 - 1)).toBeLessThan(0.08);
  });

  it("stand out where far too much noise was fitted", () => {
    const picture = pictureOf(170, 130, block(3, 2, 8));
    expect(standingPlateaus(picture, 0.1, 100).map((p) => p.count)).toEqual(
      standingPlateaus(picture, 0.004, 100).map((p) => p.count),
    );
    expect(standingPlateaus(picture, 0.1, 100)[0].count).toBe(6);
  });

  it("are not taken apart where one body holds two equal pads", () => {
    const one = pictureOf(150, 120, [
      slab(0.3, [20, 20], [129, 99]),
      slab(0.6, [30, 40], [59, 79]),
      slab(0.6, [90, 40], [119, 79]),
    ]);
    expect(standingPlateaus(one, 0.004, 100)[0].count).toBe(1);
  });

  it("are none where no open field is seen at the border", () => {
    expect(standingPlateaus(pictureOf(120, 90, [slab(0.3, [0, 0], [119, 89])]), 0.004, 100)).toEqual([]);
  });
});
