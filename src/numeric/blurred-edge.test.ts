import { describe, expect, it } from "vitest";
import {
  blurredRamp,
  edgeUnderTaper,
  edgeUnderThinFillet,
  normalShare,
  stepBlurPx,
  taperMisfit,
} from "./blurred-edge.ts";
import reference from "./fixtures/blurred-edge.json" with { type: "json" };

// Walls, fillets and their blur by scipy, written by scripts/reference/blurred-edge-fixtures.py.
const { places, sigmaPx, wallPx } = reference;

/** Where a profile passes half-way from its level to the furthest it gets. */
function halfWay(values: readonly number[]): number {
  const half = (1 + Math.max(...values)) / 2;
  const i = values.findIndex((v) => v > half);
  const [p, q] = [values[i - 1] as number, values[i] as number];
  return (places[i - 1] as number) + (0.5 * (half - p)) / (q - p);
}

describe("a blurred edge", () => {
  it("has the shares of the normal distribution and their integral", () => {
    for (const { z, share } of reference.shares) expect(normalShare(z)).toBeCloseTo(share, 6);
    for (const { x, value } of reference.ramps) expect(blurredRamp(x, sigmaPx)).toBeCloseTo(value, 5);
  });

  for (const { widthPx, values } of reference.fillets) {
    it(`under a fillet ${widthPx} px wide lies outside of half-way up what is seen`, () => {
      const at = edgeUnderTaper(places, values, sigmaPx, [-0.4, 1.2]) as number;
      expect(Math.abs(at - wallPx)).toBeLessThan(0.15);
      expect(Math.abs(at - wallPx)).toBeLessThan(wallPx - halfWay(values));
    });
  }

  for (const { widthPx, values } of reference.thin) {
    it(`under a fillet ${widthPx} px wide, of which only the fall is seen, lies inside of it`, () => {
      const { at, halfRangePx } = edgeUnderThinFillet(places, values, sigmaPx) ?? { at: 0, halfRangePx: 0 };
      expect(Math.abs(at + 1.1)).toBeLessThan(Math.max(0.2, 1.2 * halfRangePx));
      expect(halfRangePx).toBeLessThan(0.6);
    });
  }

  it("under a wide fillet fits its own blur better than others", () => {
    const { values } = reference.fillets.at(-1) as { values: number[] };
    const misfit = (share: number) => taperMisfit(places, values, share * sigmaPx, [-0.4, 1.2]);
    expect(misfit(1)).toBeLessThan(misfit(0.7));
    expect(misfit(1)).toBeLessThan(misfit(1.3));
  });

  it("without a fillet is the plain step", () => {
    expect(edgeUnderTaper(places, reference.plain, sigmaPx, [-0.4, 1.2])).toBeCloseTo(wallPx, 1);
    expect(stepBlurPx(places, reference.plain)).toBeCloseTo(sigmaPx, 1);
  });

  it("is not told where it would lie outside of what is searched, or nothing changes", () => {
    expect(edgeUnderTaper(places, reference.plain, sigmaPx, [-0.4, 0.1])).toBeNull();
    expect(stepBlurPx(places, new Array(places.length).fill(1))).toBeNull();
  });
});
