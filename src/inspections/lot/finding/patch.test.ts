import { describe, expect, it } from "vitest";
import { drawnPart } from "../../../../test/support/drawn-part.ts";
import { drawnRadiograph, placed } from "../../../../test/support/drawn-radiograph.ts";
import { applyMap } from "../../../align/similarity.ts";
import type { FoundPart } from "./find-parts.ts";
import { wholeFieldPart } from "./find-parts.ts";
import { cutPatch } from "./patch.ts";

// The part is drawn; margins and shares are worked by hand.
const part: FoundPart = {
  body: { centrePx: [150, 120], angleRad: 0, lengthPx: 120, widthPx: 80 },
  fit: null,
  reachPx: [60, 56],
  cutByEdge: false,
  wholeField: false,
};
const radiograph = drawnRadiograph(300, 240, placed(drawnPart(), [150, 120]));

describe("a part cut out of its picture", () => {
  it("keeps its leads and a margin of at least 6 px, and its values", () => {
    const patch = cutPatch(radiograph, part);
    // 4 % of 120 is less than 6: from 150 - 66 = 84 to 150 + 66 = 216, from 120 - 62 = 58 to 182.
    expect(patch.image).toMatchObject({ width: 133, height: 125 });
    expect(patch.reducedBy).toBe(1);
    for (const [x, y] of [
      [0, 0],
      [66, 62],
      [132, 124],
      [20, 10],
    ] as const) {
      const [u, v] = applyMap(patch.toPicture, [x, y]);
      expect([u, v]).toEqual([x + 84, y + 58]);
      expect(patch.image.data[y * 133 + x]).toBe(radiograph.attenuation[v * 300 + u]);
    }
    expect(patch.body).toMatchObject({ centrePx: [66, 62], lengthPx: 120, widthPx: 80 });
  });

  it("reaches as far as the turned part does", () => {
    const upright = cutPatch(radiograph, { ...part, body: { ...part.body, angleRad: Math.PI / 2 } });
    expect(Math.abs(upright.image.width - 125)).toBeLessThanOrEqual(1);
    expect(Math.abs(upright.image.height - 133)).toBeLessThanOrEqual(1);
  });

  it("ends at the picture's edge", () => {
    const near = cutPatch(radiograph, { ...part, body: { ...part.body, centrePx: [30, 200] } });
    // From -36, so 0, to 96; from 138 to 262, so 239.
    expect(near.image).toMatchObject({ width: 97, height: 102 });
    expect(near.body.centrePx).toEqual([30, 62]);
  });

  it("is reduced when it is larger than a million pixels, and still knows where it lay", () => {
    const large = drawnRadiograph(1500, 1200, []);
    large.attenuation.fill(0.7);
    const patch = cutPatch(large, wholeFieldPart(1500, 1200));
    // 1.8 million pixels: halved. Pixel (10, 20) covers 20..21 and 40..41.
    expect(patch.reducedBy).toBe(2);
    expect(patch.image).toMatchObject({ width: 750, height: 600 });
    expect(applyMap(patch.toPicture, [10, 20])).toEqual([20.5, 40.5]);
    expect(patch.body).toMatchObject({ lengthPx: 750, widthPx: 600 });
    expect(patch.image.data[1234]).toBeCloseTo(0.7, 6);
  });

  it("tells how much of it is only a bound: too dense or dead, not an overexposed field around it", () => {
    const censored = new Uint8Array(300 * 240);
    // Within the patch: a saturated field of 1000 px, 500 px too dense, 250 dead ones.
    for (let i = 0; i < 1000; i++) censored[(60 + Math.floor(i / 100)) * 300 + 90 + (i % 100)] = 1;
    for (let i = 0; i < 500; i++) censored[(100 + Math.floor(i / 100)) * 300 + 90 + (i % 100)] = 2;
    for (let i = 0; i < 250; i++) censored[(130 + Math.floor(i / 50)) * 300 + 90 + (i % 50)] = 3;
    expect(cutPatch({ ...radiograph, censored }, part).censoredShare).toBeCloseTo(750 / (133 * 125), 12);
  });
});
