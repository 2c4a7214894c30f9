import { describe, expect, it } from "vitest";
import { seededRandom } from "../../statistics/random.ts";
import type { Feature } from "../feature.ts";
import { constructionOf, packageFamilies } from "./families.ts";
import { mouldedBody } from "./moulded-body.ts";

/** Extent of a feature along one axis, mm. */
function extent(feature: Feature, axis: 0 | 1): number {
  if (feature.kind !== "sheet") return 0;
  const values = feature.outlines.flatMap((outline) => outline.map((point) => point[axis]));
  return Math.max(...values) - Math.min(...values);
}

/** Mould at `x` on the body's axis, mm: all sheets that reach so far. */
function thicknessAt(features: readonly Feature[], x: number): number {
  return features.reduce((sum, feature) => {
    const over = feature.kind === "sheet" && feature.thicknessMm > 0 && extent(feature, 0) / 2 > x;
    return sum + (over ? feature.thicknessMm : 0);
  }, 0);
}

describe("mouldedBody", () => {
  it("is a wedge from nothing at the outline to full thickness one draft inside", () => {
    const [length, thickness, draft] = [4.9, 1.45, 0.1];
    const body = mouldedBody(length, 3.9, thickness, draft);
    for (const [inside, share] of [
      [-0.001, 0],
      [0.001, 0.01],
      [0.025, 0.25],
      [0.05, 0.5],
      [0.08, 0.8],
      [0.101, 1],
    ] as const) {
      const found = thicknessAt(body, length / 2 - inside) / thickness;
      expect(Math.abs(found - share), `${inside} mm inside`).toBeLessThanOrEqual(1 / 16 + 1e-9);
    }
    expect(thicknessAt(body, length / 2 + 0.001)).toBe(0);
    expect(thicknessAt(body, length / 2 - 0.101)).toBeCloseTo(thickness, 12);
  });

  it("is upright when sawn", () => {
    const body = mouldedBody(5, 5, 0.85, 0);
    expect(thicknessAt(body, 2.499)).toBeCloseTo(0.85, 12);
    expect(thicknessAt(body, 2.501)).toBe(0);
  });
});

describe("every family", () => {
  for (const [family, { variants }] of Object.entries(packageFamilies)) {
    for (const variant of Object.keys(variants)) {
      it(`${family} ${variant} has a body whose outer outline is its nominal size`, () => {
        const construction = constructionOf("g0", family as keyof typeof packageFamilies, variant);
        const { body } = variants[variant as keyof typeof variants].build(construction, seededRandom("body"));
        const [length, width] = construction.bodyMm;
        expect(Math.max(...body.map((f) => extent(f, 0)))).toBeCloseTo(length, 9);
        expect(Math.max(...body.map((f) => extent(f, 1)))).toBeCloseTo(width, 9);
      });
    }
  }
});
