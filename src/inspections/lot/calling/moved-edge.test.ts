import { describe, expect, test } from "vitest";
import type { Image, Mask } from "../../../numeric/image.ts";
import { createImage, createMask } from "../../../numeric/image.ts";
import { comparablePart } from "../grouping/pair-difference.ts";
import { groupNorm, partDifference } from "../grouping/part-difference.ts";
import { unmovedPlaces } from "./moved-edge.ts";

const [width, height] = [160, 120];
const slackPx = 1;

/** A lid of 0.3 from `left` to `right` over ground of 0.2, with a bar of 0.5 across it and a particle. */
function part({ left = 30, right = 130, bar = true, particle = false, rim = 0.3 }): Image {
  const image = createImage(width, height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      let v = 0.2;
      if (x >= left && x < right && y >= 20 && y < 100) v += x < 30 ? rim : 0.3;
      if (bar && y >= 58 && y < 61 && x >= 40 && x < 120) v += 0.5;
      if (particle && Math.hypot(x - 80, y - 40) < 3) v += 0.5;
      image.data[y * width + x] = v;
    }
  }
  return image;
}

/** What is left of the last part's places against four usual ones. */
function left(odd: Image): { places: number; unmoved: number } {
  const parts = [...Array.from({ length: 4 }, () => part({})), odd];
  const lot = {
    comparable: parts.map((p) => comparablePart(p, parts[0] as Image, slackPx)),
    tolerance: 0.02,
    contrast: 0.5,
    slackPx,
  };
  const where: Mask = createMask(width, height);
  where.data.fill(1);
  const norm = groupNorm(lot, [0, 1, 2, 3]);
  const difference = partDifference(lot, 4, norm, where);
  const unmoved = unmovedPlaces(difference, norm.middle, height, slackPx);
  return { places: difference.places.length, unmoved: unmoved.length };
}

describe("an edge that lies a little elsewhere", () => {
  test("a lid set 4 px aside differs along two edges, neither of them matter", () => {
    expect(left(part({ left: 26, right: 126 }))).toEqual({ places: 2, unmoved: 0 });
  });

  test("what is denser than the edge's own step is matter", () => {
    expect(left(part({ left: 26, rim: 0.6 }))).toEqual({ places: 1, unmoved: 1 });
  });

  test("an edge set aside by more than pieces are placed is another piece", () => {
    expect(left(part({ left: 20 }))).toEqual({ places: 1, unmoved: 1 });
  });

  test("a thin bar that is absent has the same on both its sides", () => {
    expect(left(part({ bar: false }))).toEqual({ places: 1, unmoved: 1 });
  });

  test("a particle is no strip", () => {
    expect(left(part({ particle: true }))).toEqual({ places: 1, unmoved: 1 });
  });
});
