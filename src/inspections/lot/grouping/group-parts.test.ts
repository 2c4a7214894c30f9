import { describe, expect, it } from "vitest";
import reference from "./fixtures/groups.json" with { type: "json" };
import type { Characteristic, DistanceMatrix } from "./group-parts.ts";
import {
  combineDistances,
  groupMembers,
  groupParts,
  linkCharacteristic,
  outlineLink,
  tightSpread,
} from "./group-parts.ts";

// Groups: scipy's average linkage cut at 1; normal quantiles: scipy. Both written by
// scripts/reference/group-fixtures.py. Everything else is worked by hand.

/** Distances between parts of which each has a place on a line. */
function onLine(...places: number[]): DistanceMatrix {
  return {
    size: places.length,
    values: Float64Array.from(places.flatMap((p) => places.map((q) => Math.abs(p - q)))),
  };
}

/** The same groups under names in the order of their first part. */
function renamed(groups: readonly number[]): number[] {
  const order = [...new Set(groups)];
  return groups.map((g) => order.indexOf(g));
}

describe("parts of a lot are grouped", () => {
  for (const { name, size, distances, groups } of reference.lots) {
    it(`as scipy's average linkage groups them: ${name}`, () => {
      const found = groupParts({ size, values: Float64Array.from(distances) });
      expect(renamed(found)).toEqual(renamed(groups));
    });
  }

  it("with the largest group first", () => {
    expect(groupParts(onLine(9, 0, 0.1, 9.1, 0.2))).toEqual([1, 0, 0, 1, 0]);
    expect(groupMembers([1, 0, 0, 1, 0])).toEqual([
      [1, 2, 4],
      [0, 3],
    ]);
  });

  it("so that a stray hardly farther out than the group is wide belongs to it", () => {
    // The group spans 0 to 0.9; nine tenths of its distances are below 0.9. The stray, 1.25 from its middle, is
    // linked to no one (mean distance 1.25), yet less than twice that width away.
    expect(groupParts(onLine(0, 0, 0.45, 0.9, 0.9, 1.7))).toEqual([0, 0, 0, 0, 0, 0]);
    // The same stray stands apart from a tight group.
    expect(groupParts(onLine(0.4, 0.45, 0.45, 0.5, 0.5, 1.7))).toEqual([0, 0, 0, 0, 0, 1]);
  });

  it("not at all when there is none, alone when there is one", () => {
    expect(groupParts({ size: 0, values: new Float64Array(0) })).toEqual([]);
    expect(groupParts(onLine(3))).toEqual([0]);
    expect(groupMembers([])).toEqual([]);
  });
});

describe("the spread inside one construction", () => {
  it("is the standard deviation of normal values, from their tightest 45 %", () => {
    expect(tightSpread(reference.normalQuantiles)).toBeCloseTo(1, 1);
    expect(tightSpread(reference.normalQuantiles.map((v) => 40 + 0.2 * v))).toBeCloseTo(0.2, 2);
  });

  it("is that of one construction when the lot holds two of equal size", () => {
    const two = reference.normalQuantiles.flatMap((v) => [100 + 0.3 * v, 130 + 0.3 * v]);
    // 45 % of all lies within the 50 % that one of them makes up: 90 % of it, which spans 2 * 1.645 deviations.
    expect(tightSpread(two)).toBeCloseTo((0.3 * 2 * 1.645) / 1.196, 1);
  });
});

describe("the difference at which two parts are held to differ", () => {
  const of = (changes: Partial<Characteristic>): Characteristic => ({
    name: "dieLength",
    values: [10, 10, 10, 10],
    u: 0,
    floor: 1,
    ...changes,
  });

  it("is the floor when the parts agree better than that", () => {
    expect(linkCharacteristic(of({})).link).toBe(1);
  });

  it("is three standard uncertainties of a difference when the measurement is poor", () => {
    // 3 * sqrt(2) * 0.5 = 2.12
    expect(linkCharacteristic(of({ u: 0.5 })).link).toBeCloseTo(2.1213, 4);
  });

  it("is six spreads, of four floors at most", () => {
    // Tightest two of four: 0.4 apart. 0.4 / 1.196 * (1 + 2 / 2) = 0.669; six of it 4.01, more than 4 floors of 1.
    expect(linkCharacteristic(of({ values: [10, 10.4, 10.8, 11.2] })).link).toBe(4);
    // Half as far apart: 2.007.
    expect(linkCharacteristic(of({ values: [10, 10.2, 10.4, 10.6] })).link).toBeCloseTo(2.007, 3);
  });

  it("is unknown where fewer than half of the parts show the characteristic", () => {
    expect(linkCharacteristic(of({ values: [10, null, null, 11, null] })).link).toBeNull();
    expect(linkCharacteristic(of({ values: [10, null] })).link).toBeNull();
    expect(linkCharacteristic(of({ values: [10, null, 10.1, null] })).link).not.toBeNull();
  });

  it("of outlines is six times what near neighbours show, within its limits", () => {
    // Each part's nearest of the three others is 0.02 away: six of it 0.12.
    const four = onLine(0, 0.02, 0.5, 0.52);
    expect(outlineLink(four, 0.01, 1)).toBeCloseTo(0.12, 12);
    expect(outlineLink(four, 0.2, 1)).toBe(0.2);
    expect(outlineLink(four, 0.01, 0.05)).toBe(0.05);
    // Two parts have no neighbours to learn from: three times the least.
    expect(outlineLink(onLine(0, 0.02), 0.01, 1)).toBeCloseTo(0.03, 12);
  });
});

describe("the distance between two parts", () => {
  const outline = onLine(0, 1, 6);
  const die = { name: "dieLength", u: 0, floor: 1, spread: 0, values: [20, 26, null], link: 2 };

  it("is the largest of its characteristics, each in units of its own link", () => {
    // Outlines link at 2: 0.5 between the first two, whose dies differ by 6 / 2 = 3.
    const { values } = combineDistances(outline, 2, [die]);
    expect(values[1]).toBe(3);
    expect(values[3]).toBe(3);
    expect(values[0]).toBe(0);
  });

  it("passes over what a part does not show, and ends at 4", () => {
    const { values } = combineDistances(outline, 2, [die]);
    // The third part has no die: outline alone, 5 / 2 = 2.5 from the second.
    expect(values[5]).toBe(2.5);
    expect(combineDistances(outline, 0.1, []).values[2]).toBe(4);
    expect(combineDistances(outline, 2, [{ ...die, link: null }]).values[1]).toBe(0.5);
  });
});
