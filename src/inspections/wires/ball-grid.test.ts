import { describe, expect, it } from "vitest";
import type { Image } from "../../numeric/image.ts";
import { createImage } from "../../numeric/image.ts";
import { findBallGrid, withoutBalls } from "./ball-grid.ts";

const [width, height] = [260, 260];
const body = { centrePx: [130, 130], angleRad: 0, lengthPx: 250, widthPx: 250 } as const;
const [mould, ball, wire, radiusPx, pitchPx] = [0.2, 1.8, 0.15, 9, 36];

/** A grid of six by six balls with blurred rims over mould, and a wire three pixels wide along row 112. */
function grid({ wires = true, offPx = 0 } = {}): Image {
  const image = createImage(width, height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const near = (v: number) => 40 + pitchPx * Math.min(5, Math.max(0, Math.round((v - 40) / pitchPx)));
      const r = Math.hypot(x - near(x) - offPx, y - near(y) - offPx);
      const rim = ball / (1 + Math.exp(2 * (r - radiusPx)));
      const on = wires && Math.abs(y - 112) <= 1 ? wire : 0;
      image.data[y * width + x] = mould + rim + on;
    }
  }
  return image;
}

describe("balls of a grid", () => {
  it("are found with their size", () => {
    const found = findBallGrid(grid(), body);
    expect(found?.centresPx).toHaveLength(36);
    expect(Math.abs((found?.radiusPx ?? 0) - radiusPx)).toBeLessThan(0.6);
  });

  it("are none where metal lies in bars", () => {
    const image = createImage(width, height);
    for (let y = 20; y < 240; y++)
      for (let x = 20; x < 240; x++) image.data[y * width + x] = y % 40 < 14 ? 2 : 0.2;
    expect(findBallGrid(image, body)).toBeNull();
  });

  it("are taken away where they lie in the part's own picture, and a wire over them stays", () => {
    const found = findBallGrid(grid(), body);
    if (!found) throw new Error("no grid was found");
    const bare = withoutBalls(grid({ offPx: 0.6 }), found);
    const at = (x: number, y: number) => bare.data[y * width + x] as number;
    for (let x = 30; x < 230; x++) {
      const over = at(x, 112) - Math.max(at(x, 108), at(x, 116));
      expect(over).toBeGreaterThan(0.5 * wire);
      expect(over).toBeLessThan(1.5 * wire);
    }
    // Away from the wire what is left of the balls is far below what they were.
    for (let y = 140; y < 240; y++)
      for (let x = 20; x < 240; x++) expect(Math.abs(at(x, y) - mould)).toBeLessThan(0.06 * ball);
  });
});
