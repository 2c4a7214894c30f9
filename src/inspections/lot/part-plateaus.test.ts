import { describe, expect, it } from "vitest";
import type { Slab } from "../../../test/support/drawn-radiograph.ts";
import { drawnRadiograph, slab } from "../../../test/support/drawn-radiograph.ts";
import { partAtGaps } from "./part-gaps.ts";
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

describe("plateaus that may be parts", () => {
  it("are those of bodies whose gaps close at a low level", () => {
    // Blurred, a gap of 2 px is no deeper than a third of the bodies' attenuation.
    const picture = pictureOf(170, 120, block(3, 2, 2));
    const [bodies] = standingPlateaus(picture, 0.004, 100);
    expect(bodies).toMatchObject({ count: 6, touching: true });
    // With half of each gap, and the blur around the block.
    expect(bodies.unitAreaPx).toBeGreaterThan(1200);
    expect(bodies.unitAreaPx).toBeLessThan(43.5 * 33.5);
    const parted = partAtGaps(picture, Math.sqrt(bodies.from * bodies.to));
    const sizes = parted?.parts.map(({ boxPx: [, , w, h] }) => [w, h]) ?? [];
    expect(sizes).toHaveLength(6);
    for (const [w, h] of sizes) {
      expect(Math.abs(w - 41)).toBeLessThanOrEqual(2);
      expect(Math.abs(h - 31)).toBeLessThanOrEqual(2);
    }
  });

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
