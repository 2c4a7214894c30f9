import { describe, expect, it } from "vitest";
import { gaussianBlur } from "../../../numeric/gaussian-blur.ts";
import type { Image } from "../../../numeric/image.ts";
import { createImage, createMask } from "../../../numeric/image.ts";
import { matchUnsharpness } from "./match-unsharpness.ts";

const where = createMask(60, 60);
where.data.fill(1);

function square(): Image {
  const image = createImage(60, 60);
  for (let y = 20; y < 40; y++) image.data.fill(1, y * 60 + 20, y * 60 + 40);
  return gaussianBlur(image, 0.8);
}

const farthest = (a: Image, b: Image) =>
  Math.max(...a.data.map((v, i) => Math.abs(v - (b.data[i] as number))));

describe("matchUnsharpness", () => {
  it("blurs the sharper of the two until the edges agree, whichever it is", () => {
    const sharp = square();
    const soft = gaussianBlur(sharp, 1.9);
    expect(farthest(sharp, soft)).toBeGreaterThan(0.3);
    const one = matchUnsharpness(sharp, soft, where);
    expect(farthest(one.image, one.onto)).toBeLessThan(0.01);
    const other = matchUnsharpness(soft, sharp, where);
    expect(farthest(other.image, other.onto)).toBeLessThan(0.01);
  });

  it("leaves equally sharp pictures alone", () => {
    const { image, onto } = matchUnsharpness(square(), square(), where);
    expect(farthest(image, square())).toBe(0);
    expect(farthest(onto, square())).toBe(0);
  });

  it("does not blur away something that is only in one", () => {
    const with1 = square();
    with1.data.fill(1, 10 * 60 + 5, 10 * 60 + 9);
    const { image } = matchUnsharpness(with1, square(), where);
    expect(image.data[10 * 60 + 7]).toBeGreaterThan(0.5);
  });
});
