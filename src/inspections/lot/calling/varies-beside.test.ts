import { describe, expect, it } from "vitest";
import type { Image } from "../../../numeric/image.ts";
import { createImage } from "../../../numeric/image.ts";
import { variesBeside } from "./varies-beside.ts";

// A place of 6 x 10 px whose left side borders on what varies, or on nothing that does.

const [width, height, tolerance] = [40, 30, 0.02];
const boxPx = [15, 10, 6, 10] as const;

function filled(box: readonly [number, number, number, number], value: number): Image {
  const image = createImage(width, height);
  for (let y = box[1]; y < box[1] + box[3]; y++)
    for (let x = box[0]; x < box[0] + box[2]; x++) image.data[y * width + x] = value;
  return image;
}

describe("a place that grows out of what differs from part to part", () => {
  const excess = filled(boxPx, -2);
  const place = { sign: -1, boxPx } as const;

  it("has the group's spread along its rim: a wider cut where every part has one", () => {
    expect(variesBeside(place, excess, filled([11, 10, 4, 10], 0.05), tolerance)).toBe(true);
  });

  it("has none where the group is even about it, or varies in a corner or farther off only", () => {
    expect(variesBeside(place, excess, createImage(width, height), tolerance)).toBe(false);
    expect(variesBeside(place, excess, filled([13, 10, 2, 2], 0.05), tolerance)).toBe(false);
    expect(variesBeside(place, excess, filled([5, 10, 8, 10], 0.05), tolerance)).toBe(false);
    expect(variesBeside(place, excess, filled([11, 10, 4, 10], 0.01), tolerance)).toBe(false);
  });
});
