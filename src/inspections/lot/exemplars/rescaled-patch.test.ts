import { describe, expect, it } from "vitest";
import { buildPyramid } from "../../../align/pyramid.ts";
import { applyMap } from "../../../align/similarity.ts";
import { createImage } from "../../../numeric/image.ts";
import type { Patch } from "../finding/patch.ts";
import { rescaledPatch } from "./rescaled-patch.ts";

/** A patch whose value at (x, y) is 2 x + 3 y: what is drawn anew must follow it exactly. */
function slope(width: number, height: number): Patch {
  const image = createImage(width, height);
  for (let y = 0; y < height; y++) for (let x = 0; x < width; x++) image.data[y * width + x] = 2 * x + 3 * y;
  return {
    part: {} as Patch["part"],
    image,
    pyramid: buildPyramid(image),
    toPicture: { a: 1, b: 0, c: 100, d: 0, e: 1, f: 200 },
    reducedBy: 1,
    body: { centrePx: [40, 30], angleRad: 0, lengthPx: 50, widthPx: 40 },
    censoredShare: 0,
  };
}

describe.each([0.31, 0.5, 0.8, 1.7, 2])("a patch drawn %f times as large", (factor) => {
  const patch = slope(161, 121);
  const drawn = rescaledPatch(patch, factor);

  it("shows at each pixel what lies there in the picture", () => {
    const { width, height } = drawn.image;
    for (const [x, y] of [
      [0, 0],
      [width - 1, height - 1],
      [Math.floor(width / 3), Math.floor(height / 2)],
    ] as const) {
      const [px, py] = applyMap(drawn.toPicture, [x, y]);
      // float32 pixels, one 5e-5 of 600
      expect(drawn.image.data[y * width + x]).toBeCloseTo(2 * (px - 100) + 3 * (py - 200), 3);
    }
  });

  it("keeps the body where it is, at its size in picture pixels", () => {
    const [bx, by] = applyMap(drawn.toPicture, drawn.body.centrePx);
    expect([bx, by]).toEqual([expect.closeTo(140, 6), expect.closeTo(230, 6)]);
    expect(drawn.body.lengthPx * drawn.reducedBy).toBeCloseTo(50, 6);
  });
});
