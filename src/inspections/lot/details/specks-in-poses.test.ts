import { describe, expect, it } from "vitest";
import type { AffineMap } from "../../../align/similarity.ts";
import type { Image, Mask } from "../../../numeric/image.ts";
import { createImage } from "../../../numeric/image.ts";
import type { PlacedLot } from "../placing/place-lot.ts";
import type { Speck } from "./specks.ts";
import { specksInPoses } from "./specks-in-poses.ts";

// A picture of 40 x 20 px with a dimple at one end; the group has it at the other. Turned by a half it is theirs.

const [width, height] = [40, 20];
const asItLies: AffineMap = { a: 1, b: 0, c: 0, d: 0, e: 1, f: 0 };
const turned: AffineMap = { a: -1, b: 0, c: width - 1, d: 0, e: -1, f: height - 1 };
const window = { x0: 0, y0: 0, width, height };
const everywhere: Mask = { width, height, data: new Uint8Array(width * height).fill(1) };

const picture = createImage(width, height);
for (let y = 4; y < 8; y++) for (let x = 4; x < 8; x++) picture.data[y * width + x] = -1;

const speck: Speck = { sign: -1, boxPx: [4, 4, 4, 4], by: -1, over: 3 };

/** One speck where the picture is light anywhere but where the group's dimple is. */
const search = (image: Image): Speck[] =>
  image.data.some((v, i) => v < -0.5 && i % width < width / 2) ? [speck] : [];

function lot(equal: boolean): Pick<PlacedLot, "items" | "tones" | "frame"> {
  const aligned = { map: asItLies, alternatives: [{ map: turned, equal }] };
  const patch = { image: picture, pyramid: { levels: [picture] } };
  return {
    items: [{ patch, aligned }],
    tones: [{ offset: 0, gain: 1, bend: 0 }],
    frame: { width, height },
  } as unknown as Pick<PlacedLot, "items" | "tones" | "frame">;
}

describe("a speck of a part whose pose is ambiguous", () => {
  it("is none where another of its poses shows none: a dimple at the group's place", () => {
    expect(specksInPoses(lot(true), 0, [speck], window, everywhere, search)).toEqual([]);
  });

  it("stays where the other pose is told from the part's, or shows it too", () => {
    expect(specksInPoses(lot(false), 0, [speck], window, everywhere, search)).toEqual([speck]);
    expect(specksInPoses(lot(true), 0, [speck], window, everywhere, () => [speck])).toEqual([speck]);
  });

  it("stays where the other pose would hide it: no ground at the place it turns to", () => {
    const hidden = { ...everywhere, data: everywhere.data.slice() };
    for (let y = 10; y < 18; y++) for (let x = 30; x < 38; x++) hidden.data[y * width + x] = 0;
    expect(specksInPoses(lot(true), 0, [speck], window, hidden, search)).toEqual([speck]);
  });
});
