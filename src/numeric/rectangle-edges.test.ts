import { describe, expect, it } from "vitest";
import reference from "./fixtures/rectangle.json" with { type: "json" };
import type { Image } from "./image.ts";
import { createImage } from "./image.ts";
import type { OrientedRectangle } from "./oriented-rectangle.ts";
import { fallsThrough, fitRectangleEdges, footBelow, leavesLevel } from "./rectangle-edges.ts";
import { noiseImage } from "./test-images.ts";

// True edges are known by construction; `fitted` is what scipy's curve_fit finds on the same noisy pictures, written by
// scripts/reference/rectangle-fixtures.py. Profiles of the locators are worked by hand.
const size = [110, 90] as const;

function softRectangle(of: (typeof reference.edges)[number]["true"], noise: number, seed: number): Image {
  const image = createImage(...size);
  const grain = noiseImage(...size, seed);
  const [c, s] = [Math.cos(of.angleRad), Math.sin(of.angleRad)];
  const edge = (far: number) => 1 / (1 + Math.exp(far / reference.softPx));
  for (let i = 0; i < image.data.length; i++) {
    const [x, y] = [(i % size[0]) - of.x, Math.floor(i / size[0]) - of.y];
    const inside =
      edge(Math.abs(c * x + s * y) - of.lengthPx / 2) * edge(Math.abs(c * y - s * x) - of.widthPx / 2);
    image.data[i] = of.low + (of.high - of.low) * inside + noise * (grain.data[i] - 0.5);
  }
  return image;
}

function near(of: (typeof reference.edges)[number]["true"]): OrientedRectangle {
  return {
    centrePx: [of.x + 1.5, of.y - 1],
    angleRad: of.angleRad + 0.03,
    lengthPx: of.lengthPx - 3,
    widthPx: of.widthPx + 2,
  };
}

const options = { searchPx: 6, turnRad: 0.08 };

describe("the four edges of a rectangle", () => {
  for (const { true: truth, fitted, seed } of reference.edges) {
    const locate = fallsThrough((truth.low + truth.high) / 2);

    it(`are found in noise within 0.15 px of what scipy fits (turn ${truth.angleRad} rad)`, () => {
      const image = softRectangle(truth, reference.noise, seed);
      const found = fitRectangleEdges(image, near(truth), { ...options, locate });
      for (const expected of [fitted, truth]) {
        expect(Math.abs((found?.rectangle.lengthPx ?? 0) - expected.lengthPx)).toBeLessThan(0.15);
        expect(Math.abs((found?.rectangle.widthPx ?? 0) - expected.widthPx)).toBeLessThan(0.15);
        expect(Math.abs((found?.rectangle.angleRad ?? 0) - expected.angleRad)).toBeLessThan(0.004);
        expect(Math.abs((found?.rectangle.centrePx[0] ?? 0) - expected.x)).toBeLessThan(0.1);
        expect(Math.abs((found?.rectangle.centrePx[1] ?? 0) - expected.y)).toBeLessThan(0.1);
      }
      // The stated uncertainty is of the order of the error, not far below it.
      expect(Math.abs((found?.rectangle.lengthPx ?? 0) - truth.lengthPx)).toBeLessThan(
        4 * (found?.uLengthPx ?? 0),
      );
    });
  }

  const [{ true: truth, seed }] = reference.edges;
  const locate = fallsThrough((truth.low + truth.high) / 2);

  it("are the straight ones: bars that cross a side are outvoted, not averaged in", () => {
    const image = softRectangle(truth, 0, seed);
    // Three dense bars, 5 px wide, leave the lower side: a third of it.
    for (const x of [35, 52, 70]) {
      for (let y = 55; y < 90; y++) for (let k = 0; k < 5; k++) image.data[y * size[0] + x + k] = truth.high;
    }
    const found = fitRectangleEdges(image, near(truth), { ...options, locate });
    expect(Math.abs((found?.rectangle.widthPx ?? 0) - truth.widthPx)).toBeLessThan(0.25);
    const [, bottom, , top] = found?.sides ?? [];
    expect((bottom?.agreeing ?? 0) / (bottom?.profiles ?? 1)).toBeLessThan(0.8);
    expect((top?.agreeing ?? 0) / (top?.profiles ?? 1)).toBeGreaterThan(0.95);
  });

  it("are not the row of bonds inside of them, however many: between the bonds the level goes on", () => {
    const image = softRectangle(truth, 0, seed);
    // Bonds 6 px inside the upper side, each with a wire to the outside: six in ten of its profiles meet one.
    const [c, s] = [Math.cos(truth.angleRad), Math.sin(truth.angleRad)];
    for (let i = 0; i < image.data.length; i++) {
      const [x, y] = [(i % size[0]) - truth.x, Math.floor(i / size[0]) - truth.y];
      const [u, v] = [c * x + s * y, c * y - s * x];
      const bond = Math.abs(u) < 0.45 * truth.lengthPx && (u + 600) % 9 < 5.5 && v < -truth.widthPx / 2 + 6;
      if (bond) image.data[i] = truth.high + 0.8 * (truth.high - truth.low);
    }
    const step = 0.3 * (truth.high - truth.low);
    const found = fitRectangleEdges(image, near(truth), {
      ...options,
      searchPx: 9,
      bandPx: 1,
      locate: leavesLevel(truth.high, step, step),
    });
    expect(Math.abs((found?.rectangle.widthPx ?? 0) - truth.widthPx)).toBeLessThan(0.6);
    expect(Math.abs((found?.rectangle.lengthPx ?? 0) - truth.lengthPx)).toBeLessThan(0.6);
  });

  it("are none in a picture without a rectangle, or of one that runs out of the picture", () => {
    const even: Image = { width: 110, height: 90, data: new Float32Array(9900).fill(0.7) };
    expect(fitRectangleEdges(even, near(truth), { ...options, locate })).toBeNull();
    const out = { ...truth, x: 2 };
    expect(fitRectangleEdges(softRectangle(out, 0, 1), near(out), { ...options, locate })).toBeNull();
  });
});

describe("where a profile shows its edge", () => {
  const profile = (...values: number[]) => Float32Array.from(values);

  it("falls through a level: once, the first time", () => {
    // From 8 to 4 through 5: three quarters of the way from index 1 to 2.
    expect(fallsThrough(5)(profile(9, 8, 4, 2, 6, 1)).at).toEqual([1.75]);
    expect(fallsThrough(5)(profile(9, 8, 7, 6)).at).toEqual([]);
    expect(fallsThrough(5)(profile(1, 2, 3, 4)).at).toEqual([]);
  });

  it("foot of a slope: where a share of the fall below the level remains", () => {
    // Falls by 2 a step from 10 through 8 down to a floor of 0. A quarter of the fall from level 8 remains at 2:
    // index 6 holds 2 exactly, reached from 4 at index 5.
    const slope = profile(10, 10, 10, 8, 6, 4, 2, 0, 0, 0, 0, 0);
    expect(footBelow(8, 0.25)(slope).at).toEqual([6]);
    expect(footBelow(8, 0.125)(slope).at).toEqual([6.5]);
    // A slope that has not ended where the profile does has no foot.
    expect(footBelow(8, 0.25)(profile(10, 8, 7, 6, 5, 4, 3)).at).toEqual([]);
  });

  it("leaves its level: half-way to the furthest it gets, up or down", () => {
    const fall = profile(5, 5, 5, 5, 5, 3, 1, 1, 1, 1, 1);
    expect(leavesLevel(5, 1, 1)(fall).at).toEqual([5]);
    const rise = profile(5, 5, 5, 5, 6, 8, 9, 9, 9, 9);
    // Half-way to 9 is 7: half a step beyond index 4, which holds 6, as index 5 holds 8.
    expect(leavesLevel(5, 1.5, 1.5)(rise).at).toEqual([4.5]);
    expect(leavesLevel(5, 1, Number.POSITIVE_INFINITY)(rise).at).toEqual([]);
  });

  it("is still within the rectangle where it holds its level, before and after a bond", () => {
    const bond = profile(5, 5, 5, 9, 9, 5, 5, 5, 5, 1);
    expect(leavesLevel(5, 1, 1)(bond).within).toEqual([
      [0, 2],
      [5, 8],
    ]);
    expect(leavesLevel(5, 1, 1)(profile(1, 5, 5, 5, 5)).within).toEqual([[1, 4]]);
  });

  it("leaves its level only after a pixel and a half on it", () => {
    expect(leavesLevel(5, 1, 1)(profile(5, 5, 1, 1, 1, 1, 1, 1)).at).toEqual([]);
    expect(leavesLevel(5, 1, 1)(profile(5, 5, 5, 1, 1, 1, 1, 1)).at).toHaveLength(1);
  });
});
