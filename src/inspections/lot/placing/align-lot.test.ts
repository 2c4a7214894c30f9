import { beforeAll, describe, expect, it } from "vitest";
import type { DrawnPose } from "../../../../test/support/drawn-lot.ts";
import { drawnLot, placedOffPx } from "../../../../test/support/drawn-lot.ts";
import type { AffineMap } from "../../../align/similarity.ts";
import type { LotItem } from "../lot-item.ts";
import type { LotFrame } from "./align-lot.ts";
import { chooseReference, intoFrame, lotFrame, referenceMap } from "./align-lot.ts";

// Parts are drawn: how each lies is known by construction.
const poses: readonly DrawnPose[] = [{ turnDeg: 0 }];

let items: readonly LotItem[];
let frame: LotFrame;
beforeAll(async () => {
  items = await drawnLot(poses);
  frame = lotFrame(items[0].patch);
});

/** How far a part is off where it was drawn. */
const offPx = (map: AffineMap, index: number) => placedOffPx(map, frame, items[index], poses[index]);

describe("the lot's frame", () => {
  it("holds the reference part lying straight, leads and margin included, body in its middle", () => {
    // Leads reach 56 px up and down, the body 60 to the sides, margins of 4 px at least.
    expect(frame.width).toBeGreaterThanOrEqual(2 * (60 + 4));
    expect(frame.width).toBeLessThan(2 * (60 + 8));
    expect(frame.height).toBeGreaterThanOrEqual(2 * (56 + 4) - 1);
    expect(frame.height).toBeLessThan(2 * (56 + 8));
    expect(frame.body.centrePx).toEqual([(frame.width - 1) / 2, (frame.height - 1) / 2]);
    expect(offPx(referenceMap(frame, items[0].patch), 0)).toBeLessThan(0.35);
  });

  it("is given by a part of middling size", async () => {
    const sizes = await drawnLot([
      { scale: 0.9 },
      { scale: 1.1 },
      { scale: 1 },
      { scale: 1.08 },
      { scale: 0.93 },
    ]);
    expect(chooseReference(sizes.map((i) => i.patch))).toBe(2);
  });

  it("has no value where a patch does not reach", () => {
    const far = { ...referenceMap(frame, items[0].patch), c: 100 };
    const image = intoFrame(frame, items[0].patch, far);
    expect(image).toMatchObject({ width: frame.width, height: frame.height });
    expect(image.data[image.width - 1]).toBeNaN();
    expect(image.data[Math.floor(image.height / 2) * image.width]).not.toBeNaN();
  });
});
