import { describe, expect, it } from "vitest";
import { mirrored } from "../numeric/test-images.ts";
import reference from "./fixtures/align.json" with { type: "json" };
import { alignGaussNewton, alignmentTemplate } from "./gauss-newton.ts";
import type { AffineMap } from "./similarity.ts";
import { applyMap, composeMaps } from "./similarity.ts";
import { spotPicture } from "./spot-picture.ts";

// True maps are known by construction: the moved spots are computed, not resampled. `ecc` is what OpenCV's
// findTransformECC (affine) finds on the same pictures, written by scripts/reference/align-fixtures.py.
const { spots, widthPx: width, heightPx: height } = reference;
const unmoved: AffineMap = { a: 1, b: 0, c: 0, d: 0, e: 1, f: 0 };
const still = spotPicture(spots, width, height);
const template = alignmentTemplate(still, 0.4);

/** Largest distance between where two maps take the corners of the reference, px. */
function apartPx(map: AffineMap, other: AffineMap): number {
  const corners = [
    [0, 0],
    [width - 1, 0],
    [0, height - 1],
    [width - 1, height - 1],
  ] as const;
  return Math.max(
    ...corners.map((p) => {
      const [x, y] = applyMap(map, p);
      const [u, v] = applyMap(other, p);
      return Math.hypot(x - u, y - v);
    }),
  );
}

describe("bringing one part onto another", () => {
  for (const { name, true: truth, ecc } of reference.registered) {
    it(`finds a known ${name} to a twentieth of a pixel, as OpenCV's ECC does`, () => {
      const found = alignGaussNewton(template, spotPicture(spots, width, height, truth), unmoved);
      expect(apartPx(unmoved, truth)).toBeGreaterThan(1.5);
      expect(apartPx(found.map, truth)).toBeLessThan(0.05);
      expect(apartPx(found.map, ecc)).toBeLessThan(0.1);
      expect(found.correlation).toBeGreaterThan(0.999);
    });
  }

  it("does not mind another exposure: gain and offset of the values are free", () => {
    const { true: truth } = reference.registered[1];
    const moving = spotPicture(spots, width, height, truth);
    for (let i = 0; i < moving.data.length; i++) moving.data[i] = 0.3 + 0.6 * moving.data[i];
    const found = alignGaussNewton(template, moving, unmoved);
    expect(apartPx(found.map, truth)).toBeLessThan(0.05);
    expect(found.correlation).toBeGreaterThan(0.999);
  });

  it("aligns by the rest where something is missing and lies elsewhere, to a third of a pixel, about as near as ECC", () => {
    const { true: truth } = reference.registered[1];
    const moving = spotPicture(reference.missing.spots, width, height, truth);
    const found = alignGaussNewton(template, moving, unmoved);
    const eccPx = apartPx(reference.missing.ecc, truth);
    expect(eccPx).toBeGreaterThan(0.2);
    expect(apartPx(found.map, truth)).toBeLessThan(1.3 * eccPx);
    expect(found.correlation).toBeLessThan(0.95);
  });

  it("is not drawn aside by a dense foreign body, where ECC, which weighs all pixels alike, is", () => {
    const { true: truth } = reference.registered[1];
    const moving = spotPicture(reference.foreign.spots, width, height, truth);
    const found = alignGaussNewton(template, moving, unmoved);
    const eccPx = apartPx(reference.foreign.ecc, truth);
    expect(apartPx(found.map, truth)).toBeLessThan(0.4);
    expect(apartPx(found.map, truth)).toBeLessThan(0.5 * eccPx);
  });

  it("keeps a mirror that it starts with", () => {
    const flip = { a: -1, b: 0, c: width - 1, d: 0, e: 1, f: 0 };
    const shift = { ...unmoved, c: 1.6, f: -1.2 };
    const moving = mirrored(spotPicture(spots, width, height, { ...unmoved, c: -1.6, f: -1.2 }));
    const found = alignGaussNewton(template, moving, flip);
    // Mirrored, a shift to the left is one to the right.
    expect(apartPx(found.map, composeMaps(shift, flip))).toBeLessThan(0.05);
    expect(found.map.a * found.map.e - found.map.b * found.map.d).toBeLessThan(0);
  });

  it("leaves the scale alone when it is held", () => {
    const { true: truth } = reference.registered[2];
    const found = alignGaussNewton(template, spotPicture(spots, width, height, truth), unmoved, {
      fixedScale: true,
    });
    // No step changes the size by more than the square of its turn.
    expect(Math.hypot(found.map.a, found.map.d)).toBeCloseTo(1, 3);
    expect(apartPx(found.map, truth)).toBeGreaterThan(0.5);
  });

  it("ignores pixels without a value", () => {
    const { true: truth } = reference.registered[0];
    const moving = spotPicture(spots, width, height, truth);
    for (let i = 0; i < 20 * width; i++) moving.data[i] = Number.NaN;
    const found = alignGaussNewton(template, moving, unmoved);
    expect(apartPx(found.map, truth)).toBeLessThan(0.05);
  });

  it("says -1 and moves nothing where too little overlaps, or nothing is there to see", () => {
    const away = { ...unmoved, c: 0.8 * width };
    expect(alignGaussNewton(template, still, away)).toEqual({ map: away, correlation: -1, iterations: 0 });
    const empty = { width, height, data: new Float32Array(width * height).fill(2) };
    expect(alignGaussNewton(template, empty, unmoved)).toEqual({
      map: unmoved,
      correlation: -1,
      iterations: 0,
    });
  });
});

describe("an alignment template", () => {
  it("holds the steepest pixels of the reference, never more than asked for", () => {
    const { x, y } = alignmentTemplate(still, 0.25);
    expect(x.length).toBeGreaterThan(0.2 * width * height);
    expect(x.length).toBeLessThanOrEqual(0.25 * width * height);
    const steepness = (px: number, py: number) =>
      Math.hypot(
        still.data[py * width + px + 1] - still.data[py * width + px - 1],
        still.data[(py + 1) * width + px] - still.data[(py - 1) * width + px],
      );
    const least = Math.min(...Array.from(x, (px, k) => steepness(px, y[k])));
    const all: number[] = [];
    for (let py = 1; py < height - 1; py++)
      for (let px = 1; px < width - 1; px++) all.push(steepness(px, py));
    expect(all.filter((s) => s > least)).toHaveLength(x.length - 1);
    const few = alignmentTemplate(still, 0.25, 500).x.length;
    expect(few).toBeLessThanOrEqual(500);
    expect(few).toBeGreaterThan(490);
  });
});
