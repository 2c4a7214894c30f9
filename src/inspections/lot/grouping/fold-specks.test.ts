import { describe, expect, it } from "vitest";
import type { Image } from "../../../numeric/image.ts";
import { createImage, createMask } from "../../../numeric/image.ts";
import type { PlacedLot } from "../placing/place-lot.ts";
import { foldSpecks } from "./fold-specks.ts";
import { comparablePart } from "./pair-difference.ts";

// Ten bodies of 200 x 100 px of attenuation 0.4; from some column on metal of 0.8 lies on them.

const [width, height] = [220, 120];

function part(metalFrom: number): Image {
  const image = createImage(width, height);
  for (let y = 10; y < 110; y++)
    for (let x = 10; x < 210; x++) image.data[y * width + x] = x >= metalFrom ? 0.8 : 0.4;
  return image;
}

function foldedLot(metalFrom: readonly number[], groupOf: readonly number[]): number[] {
  const images = metalFrom.map(part);
  const body = { centrePx: [109.5, 59.5], angleRad: 0, lengthPx: 200, widthPx: 100 };
  const lot = {
    comparable: images.map((image) => comparablePart(image, image, 2)),
    tolerance: 0.02,
    contrast: 0.4,
    slackPx: 2,
    by: 1,
    frame: { body },
    middle: images[0],
    items: images.map(() => ({ aligned: { alternatives: [] } })),
  } as unknown as PlacedLot;
  const where = createMask(width, height);
  for (let y = 12; y < 108; y++) for (let x = 12; x < 208; x++) where.data[y * width + x] = 1;
  return foldSpecks(lot, where, [], groupOf);
}

describe("a small group whose metal begins elsewhere", () => {
  const eight = Array.from({ length: 8 }, () => 150);

  it("goes back into the largest where each of its parts shows edges that lie a little elsewhere alone", () => {
    expect(foldedLot([...eight, 146, 146], [0, 0, 0, 0, 0, 0, 0, 0, 1, 1])).toEqual(new Array(10).fill(0));
  });

  it("stays where one of its parts shows more, or where it is no small group", () => {
    const groups = [0, 0, 0, 0, 0, 0, 0, 0, 1, 1];
    expect(foldedLot([...eight, 146, 130], groups)).toEqual(groups);
    const many = [0, 0, 0, 0, 0, 1, 1, 1];
    expect(foldedLot([150, 150, 150, 150, 150, 146, 146, 146], many)).toEqual(many);
  });
});
