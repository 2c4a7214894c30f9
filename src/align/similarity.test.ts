import fc from "fast-check";
import { describe, expect, it } from "vitest";
import reference from "./fixtures/align.json" with { type: "json" };
import type { AffineMap } from "./similarity.ts";
import { applyMap, composeMaps, invertMap } from "./similarity.ts";

// Expected maps: OpenCV's getRotationMatrix2D, transform and invertAffineTransform, written by
// scripts/reference/align-fixtures.py. The second map mirrors.
const { first, second, composed, inverse, points, mapped } = reference.maps;

function expectMap(map: AffineMap, expected: AffineMap): void {
  for (const key of ["a", "b", "c", "d", "e", "f"] as const) expect(map[key]).toBeCloseTo(expected[key], 9);
}

describe("a map of pixel places", () => {
  it("takes points where OpenCV takes them, mirrored ones too", () => {
    points.forEach(([x, y], i) => {
      const [u, v] = applyMap(second, [x, y]);
      expect(u).toBeCloseTo(mapped[i][0], 9);
      expect(v).toBeCloseTo(mapped[i][1], 9);
    });
  });

  it("follows another: the first one given is applied last", () => {
    expectMap(composeMaps(second, first), composed);
  });

  it("turned back is OpenCV's inverse", () => {
    expectMap(invertMap(second), inverse);
  });

  it("and its inverse cancel for any turn, scale, shift and mirror", () => {
    const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    fc.assert(
      fc.property(
        number(-Math.PI, Math.PI),
        number(0.2, 5),
        number(-500, 500),
        fc.boolean(),
        (turn, scale, shift, mirrored) => {
          const [c, s] = [scale * Math.cos(turn), scale * Math.sin(turn)];
          const flip = mirrored ? -1 : 1;
          const map = { a: c, b: -s * flip, c: shift, d: s, e: c * flip, f: -2 * shift };
          const [x, y] = applyMap(composeMaps(invertMap(map), map), [12.5, -3]);
          expect(x).toBeCloseTo(12.5, 8);
          expect(y).toBeCloseTo(-3, 8);
        },
      ),
    );
  });
});
