import { describe, expect, it } from "vitest";
import { blurredRamp, edgeUnderTaper, normalShare, stepBlurPx } from "./blurred-edge.ts";
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

  it("without a fillet is the plain step", () => {
    expect(edgeUnderTaper(places, reference.plain, sigmaPx, [-0.4, 1.2])).toBeCloseTo(wallPx, 1);
    expect(stepBlurPx(places, reference.plain)).toBeCloseTo(sigmaPx, 1);
  });

  it("is not told where it would lie outside of what is searched, or nothing changes", () => {
    expect(edgeUnderTaper(places, reference.plain, sigmaPx, [-0.4, 0.1])).toBeNull();
    expect(stepBlurPx(places, new Array(places.length).fill(1))).toBeNull();
  });
});
