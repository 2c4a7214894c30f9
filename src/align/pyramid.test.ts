import { describe, expect, it } from "vitest";
import reference from "./fixtures/align.json" with { type: "json" };
import { buildPyramid, mapBetweenReduced, mapFromReduced } from "./pyramid.ts";
import { applyMap } from "./similarity.ts";
import { spotPicture } from "./spot-picture.ts";

// Halved values: OpenCV's resize with INTER_AREA, written by scripts/reference/align-fixtures.py.

describe("a pyramid", () => {
  it("halves as OpenCV's area resize does", () => {
    const { levels } = buildPyramid(spotPicture(reference.spots, 120, 90), 48);
    const [[width, height], kept] = reference.halvings.half as [[number, number], number[]];
    expect(levels[1]).toMatchObject({ width, height });
    kept.forEach((value, k) => {
      expect(levels[1].data[97 * k]).toBeCloseTo(value, 5);
    });
  });

  it("stops before its longer side gets shorter than the least", () => {
    const sizes = (leastPx: number) =>
      buildPyramid({ width: 200, height: 60, data: new Float32Array(12000) }, leastPx).levels.map(
        (l) => l.width,
      );
    // 200 -> 100 -> 50: another halving would leave 25.
    expect(sizes(50)).toEqual([200, 100, 50]);
    expect(sizes(51)).toEqual([200, 100]);
    expect(sizes(101)).toEqual([200]);
  });
});

describe("a map between reduced pictures", () => {
  const map = { a: 0, b: -2, c: 40, d: 2, e: 0, f: -7 };

  it("maps the centres of what their pixels cover", () => {
    // Reduced by 4, pixel (3, 5) covers 12..15 and 20..23: centre (13.5, 21.5). The map takes it to
    // (40 - 2 * 21.5, 2 * 13.5 - 7) = (-3, 20). Reduced by 2, place p lies at (p - 0.5) / 2: (-1.75, 9.75).
    const [x, y] = applyMap(mapBetweenReduced(map, 4, 2), [3, 5]);
    expect(x).toBeCloseTo(-1.75, 12);
    expect(y).toBeCloseTo(9.75, 12);
  });

  it("changes nothing between pictures of full size", () => {
    const same = mapBetweenReduced(map, 1, 1);
    for (const key of ["a", "b", "c", "d", "e", "f"] as const) expect(same[key]).toBeCloseTo(map[key], 12);
  });

  it("is undone by the way back to full size", () => {
    const tilted = { a: 0.9, b: -0.3, c: 4.5, d: 0.3, e: 0.9, f: -12 };
    const back = mapFromReduced(mapBetweenReduced(tilted, 3.7, 8), 3.7, 8);
    for (const key of ["a", "b", "c", "d", "e", "f"] as const) expect(back[key]).toBeCloseTo(tilted[key], 9);
  });
});
