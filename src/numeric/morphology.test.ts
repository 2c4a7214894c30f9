import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { close, dilate, distanceTransform, erode, fillHoles, open, reconstruct } from "./morphology.ts";
import { drawn, maskOf } from "./test-images.ts";

describe("binary morphology", () => {
  it("dilates a point into a disc and erodes it back", () => {
    const point = maskOf(".......", ".......", ".......", "...#...", ".......", ".......", ".......");
    const disc = dilate(point, 2);
    expect(drawn(disc)).toEqual([
      ".......",
      "...#...",
      "..###..",
      ".#####.",
      "..###..",
      "...#...",
      ".......",
    ]);
    expect(drawn(erode(disc, 2))).toEqual(drawn(point));
  });

  it("does not erode from outside the picture", () => {
    expect(drawn(erode(maskOf("###", "###"), 5))).toEqual(["###", "###"]);
  });

  it("opens a spur away and closes a gap", () => {
    expect(drawn(open(maskOf("###....", "#######", "###...."), 1))).toEqual([
      "###....",
      "####...",
      "###....",
    ]);
    // Every pixel within 1 of the gap's middle is within 1 of a bar; of its ends that does not hold.
    const bars = [".........", ".........", "..##.##..", "..##.##..", "..##.##..", ".........", "........."];
    const closed = [...bars];
    closed[3] = "..#####..";
    expect(drawn(close(maskOf(...bars), 1))).toEqual(closed);
  });

  it("fills holes, also behind a diagonal wall, and not bays", () => {
    expect(drawn(fillHoles(maskOf(".#.", "#.#", ".#.")))).toEqual([".#.", "###", ".#."]);
    expect(drawn(fillHoles(maskOf("###", "#..", "###")))).toEqual(["###", "#..", "###"]);
  });

  it("keeps only what a marker touches", () => {
    const mask = maskOf("##.##", "##.##");
    expect(drawn(reconstruct(maskOf("#....", "..#.."), mask))).toEqual(["##...", "##..."]);
  });

  it("gives exact distances and Infinity when nothing is unselected", () => {
    const distances = distanceTransform(maskOf("####", "####", "###."));
    expect(distances.data[0]).toBeCloseTo(Math.sqrt(13), 6);
    expect(distances.data[11]).toBe(0);
    expect(distanceTransform(maskOf("#")).data[0]).toBe(Number.POSITIVE_INFINITY);
  });

  it("finds the nearest unselected pixel as a search does", () => {
    fc.assert(
      fc.property(fc.array(fc.boolean(), { minLength: 56, maxLength: 56 }), (bits) => {
        const mask = { width: 8, height: 7, data: Uint8Array.from(bits, Number) };
        const distances = distanceTransform(mask);
        mask.data.forEach((_, i) => {
          let nearest = Number.POSITIVE_INFINITY;
          mask.data.forEach((v, k) => {
            if (v === 0)
              nearest = Math.min(
                nearest,
                Math.hypot((i % 8) - (k % 8), Math.floor(i / 8) - Math.floor(k / 8)),
              );
          });
          expect(distances.data[i]).toBe(Math.fround(nearest));
        });
      }),
    );
  });
});
