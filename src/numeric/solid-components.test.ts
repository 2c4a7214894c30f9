import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { connectedRuns } from "./components.ts";
import { ShapeError } from "./errors.ts";
import { fillHoles } from "./morphology.ts";
import { solidComponents } from "./solid-components.ts";
import { maskOf } from "./test-images.ts";

/** By the two steps it stands for, each checked against scipy in its own test. */
function inTwoSteps(width: number, height: number, data: Uint8Array, least: number) {
  const mask = { width, height, data: data.map((v) => (v >= least ? 1 : 0)) };
  return connectedRuns(fillHoles(mask), 8).components.map(({ areaPx, touchesBorder }) => ({
    areaPx,
    touchesBorder,
  }));
}

describe("solidComponents", () => {
  it("counts a ring, its hole and the island in the hole as one", () => {
    const ring = maskOf("........", ".#####..", ".#...#..", ".#.#.#.#", ".#...#.#", ".#####..", "........");
    expect(solidComponents(ring, 1)).toEqual([
      { areaPx: 25, touchesBorder: false },
      { areaPx: 2, touchesBorder: true },
    ]);
  });

  it("leaves open what an edge-to-edge path joins to the border, a corner does not", () => {
    const bays = maskOf(
      ".......",
      ".####..",
      ".#..#..",
      ".#...#.",
      ".####..",
      ".......",
      ".###...",
      ".#.....",
      ".###...",
    );
    expect(solidComponents(bays, 1).map((c) => c.areaPx)).toEqual([17, 7]);
  });

  it("finds what filling holes and labelling find, at every step", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 24 }),
        fc.integer({ min: 1, max: 24 }),
        fc.infiniteStream(fc.integer({ min: 0, max: 4 })),
        fc.integer({ min: 1, max: 5 }),
        (width, height, stream, least) => {
          const data = Uint8Array.from({ length: width * height }, () => stream.next().value as number);
          expect(solidComponents({ width, height, data }, least)).toEqual(
            inTwoSteps(width, height, data, least),
          );
        },
      ),
      { numRuns: 400 },
    );
  });

  it("refuses data of another size", () => {
    expect(() => solidComponents({ width: 3, height: 2, data: new Uint8Array(5) }, 1)).toThrow(ShapeError);
  });
});
