import { describe, expect, it } from "vitest";
import reference from "./fixtures/rectangle.json" with { type: "json" };
import { minimumAreaRectangle } from "./hull-rectangle.ts";
import type { OrientedRectangle } from "./oriented-rectangle.ts";
import { growRectangle, pointInRectangle, rectangleCorners } from "./oriented-rectangle.ts";

// Corners: OpenCV's boxPoints, written by scripts/reference/rectangle-fixtures.py.
const rectangles = reference.boxes.map(({ centrePx: [x, y], lengthPx, widthPx, degrees, corners }) => ({
  rect: {
    centrePx: [x, y],
    lengthPx,
    widthPx,
    angleRad: (degrees * Math.PI) / 180,
  } satisfies OrientedRectangle,
  corners,
}));

describe("a turned rectangle", () => {
  it("has its corners where OpenCV has them, positive angles clockwise on screen", () => {
    for (const { rect, corners } of rectangles) {
      for (const [x, y] of rectangleCorners(rect)) {
        const nearest = Math.min(...corners.map(([u, v]) => Math.hypot(u - x, v - y)));
        expect(nearest).toBeLessThan(1e-4);
      }
    }
  });

  it("gives its corners in order around it", () => {
    // Turned by a quarter clockwise, the length runs down and the width to the left:
    // (-length/2, -width/2) = (-6, -2) comes to lie at (10 + 2, 20 - 6).
    const rect = { centrePx: [10, 20], angleRad: Math.PI / 2, lengthPx: 12, widthPx: 4 } as const;
    const expected = [
      [12, 14],
      [12, 26],
      [8, 26],
      [8, 14],
    ];
    rectangleCorners(rect).forEach(([x, y], i) => {
      expect(x).toBeCloseTo(expected[i][0], 12);
      expect(y).toBeCloseTo(expected[i][1], 12);
    });
  });

  it("is found again by the smallest rectangle around its corners", () => {
    for (const { rect } of rectangles) {
      const found = minimumAreaRectangle(rectangleCorners(rect));
      expect(found.sizeLong).toBeCloseTo(Math.max(rect.lengthPx, rect.widthPx), 9);
      expect(found.sizeShort).toBeCloseTo(Math.min(rect.lengthPx, rect.widthPx), 9);
    }
  });

  it("names places inside it by shares of length and width", () => {
    // A 3-4-5 triangle: cos = 0.8, sin = 0.6. A quarter of 20 along, half of 10 back across:
    // x = 1 + 0.8 * 5 - 0.6 * -5 = 8, y = 2 + 0.6 * 5 + 0.8 * -5 = 1.
    const rect = { centrePx: [1, 2], angleRad: Math.atan2(3, 4), lengthPx: 20, widthPx: 10 } as const;
    const [x, y] = pointInRectangle(rect, 0.25, -0.5);
    expect(x).toBeCloseTo(8, 12);
    expect(y).toBeCloseTo(1, 12);
    expect(pointInRectangle(rect, 0, 0)).toEqual([1, 2]);
  });

  it("grows on all four sides, and shrinks to nothing at most", () => {
    const rect = { centrePx: [1, 2], angleRad: 0.3, lengthPx: 20, widthPx: 10 } as const;
    expect(growRectangle(rect, 1.5)).toEqual({ ...rect, lengthPx: 23, widthPx: 13 });
    expect(growRectangle(rect, -6)).toEqual({ ...rect, lengthPx: 8, widthPx: 0 });
  });
});
