import { expect, test } from "vitest";
import { inventedPicture } from "./invented-picture.ts";
import { screenGrabLevels } from "./screen-grab.ts";

const size = { widthPx: 200, heightPx: 150, bits: 8 } as const;

test("a radiograph has no noise-free areas but at its ends", () => {
  const grey = (x: number): number => (x < 50 ? -20 : x < 120 ? 130 : 400);
  expect(screenGrabLevels(inventedPicture({ ...size, grey, gain: 0.2 }))).toBe(0);
});

test("a window with a frame and a bar around it has", () => {
  const inside = inventedPicture({ ...size, grey: () => 130, gain: 0.2 });
  const samples = inside.samples.slice();
  for (let y = 0; y < 150; y++) {
    for (let x = 0; x < 200; x++) {
      if (y < 20) samples[y * 200 + x] = 60;
      else if (x < 20 || x > 180) samples[y * 200 + x] = 214;
    }
  }
  expect(screenGrabLevels({ ...inside, samples })).toBe(2);
});
