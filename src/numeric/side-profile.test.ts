import { expect, it } from "vitest";
import type { Image } from "./image.ts";
import { sideProfile } from "./side-profile.ts";

// A picture that rises by 1 a pixel to the right and by 100 a pixel downwards; its values are worked by hand.
const image: Image = {
  width: 30,
  height: 20,
  data: Float32Array.from({ length: 600 }, (_, i) => (i % 30) + 100 * Math.floor(i / 30)),
};
const rect = { centrePx: [15, 10], angleRad: 0, lengthPx: 12, widthPx: 8 } as const;

it("the middle profile across a side runs outwards from the side", () => {
  expect(sideProfile(image, rect, 0, [-1, 0, 1], [-1, 0, 2])).toEqual([1020, 1021, 1023]);
  expect(sideProfile(image, rect, 1, [0], [0, 1])).toEqual([1415, 1515]);
  expect(sideProfile(image, rect, 2, [0], [0, 1])).toEqual([1009, 1008]);
  expect(sideProfile(image, rect, 3, [0], [0, 1])).toEqual([615, 515]);
});

it("a profile that leaves the picture, or none, is no profile", () => {
  expect(sideProfile(image, rect, 0, [0], [0, 12])).toBeNull();
  expect(sideProfile(image, rect, 0, [], [0])).toBeNull();
});
