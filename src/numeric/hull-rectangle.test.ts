import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { convexHull, minimumAreaRectangle } from "./hull-rectangle.ts";
import type { PointPx } from "./image.ts";

describe("convexHull", () => {
  it("keeps corners only", () => {
    expect(
      convexHull([
        [0, 0],
        [2, 0],
        [4, 0],
        [4, 3],
        [0, 3],
        [1, 1],
        [0, 0],
      ]),
    ).toEqual([
      [0, 0],
      [4, 0],
      [4, 3],
      [0, 3],
    ]);
    expect(
      convexHull([
        [1, 1],
        [1, 1],
      ]),
    ).toEqual([[1, 1]]);
  });
});

describe("minimumAreaRectangle", () => {
  it("finds a turned rectangle again", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1.5, max: 1.5, noNaN: true }),
        fc.double({ min: 5, max: 60, noNaN: true }),
        (angle, long) => {
          const short = long * 0.4;
          const points: PointPx[] = [];
          for (const s of [-0.5, -0.2, 0.1, 0.5]) {
            for (const t of [-0.5, 0, 0.5]) {
              points.push([
                12 + s * long * Math.cos(angle) - t * short * Math.sin(angle),
                -7 + s * long * Math.sin(angle) + t * short * Math.cos(angle),
              ]);
            }
          }
          const found = minimumAreaRectangle(points);
          expect(found.sizeLong).toBeCloseTo(long, 6);
          expect(found.sizeShort).toBeCloseTo(short, 6);
          expect(Math.abs(Math.sin(found.angleRad - angle))).toBeLessThan(1e-6);
          expect(found.centre[0]).toBeCloseTo(12, 6);
          expect(found.centre[1]).toBeCloseTo(-7, 6);
        },
      ),
    );
  });

  it("takes a line and a point", () => {
    expect(
      minimumAreaRectangle([
        [0, 0],
        [3, 4],
      ]),
    ).toMatchObject({ sizeLong: 5, centre: [1.5, 2] });
    expect(minimumAreaRectangle([[2, 2]])).toMatchObject({ sizeLong: 0, sizeShort: 0, centre: [2, 2] });
  });
});
