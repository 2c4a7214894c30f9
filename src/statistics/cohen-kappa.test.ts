import { describe, expect, it } from "vitest";
import { cohenKappa } from "./cohen-kappa.ts";

describe("cohenKappa", () => {
  it("is 0.40 in the usual textbook example (table from memory), with the error and interval of statsmodels", () => {
    const { agreement, kappa, standardError, low, high } = cohenKappa({ table: [[20, 5], [10, 15]] }); // biome-ignore format: a table
    expect(agreement).toBeCloseTo(0.7, 12);
    expect(kappa).toBeCloseTo(0.4, 12);
    expect(standardError).toBeCloseTo(0.126996, 6);
    expect(low).toBeCloseTo(0.151092, 6);
    expect(high).toBeCloseTo(0.648908, 6);
  });

  // Kappa and its error by cohen.kappa of psych 2.2.9 (R 4.2.2); tables of an attribute study, from memory.
  it.each([
    [[44, 6], [3, 97], 0.862944, 0.0441982],
    [[42, 5], [9, 94], 0.788007, 0.0537025],
    [[43, 7], [8, 92], 0.776119, 0.0546708],
  ] as const)("of %j %j is psych's", (above, below, kappa, error) => {
    // biome-ignore format: tables
    const found = cohenKappa({ table: [above, below] });
    expect(found.kappa).toBeCloseTo(kappa, 6);
    expect(found.standardError).toBeCloseTo(error, 6);
  });

  it("is 0.548193 for three classes (statsmodels, unweighted)", () => {
    expect(cohenKappa({ table: [[10, 4, 1], [3, 12, 5], [0, 2, 13]] }).kappa).toBeCloseTo(0.548193, 6); // biome-ignore format: a table
  });

  it("is none where only one class occurs, and below 0 where agreement is worse than chance", () => {
    expect(cohenKappa({ table: [[9, 0], [0, 0]] }).kappa).toBeNull(); // biome-ignore format: a table
    expect(cohenKappa({ table: [[0, 0], [0, 0]] }).agreement).toBeNull(); // biome-ignore format: a table
    expect(cohenKappa({ table: [[118, 5], [2, 0]] }).kappa).toBeCloseTo(-0.0233918, 6); // biome-ignore format: a table
  });

  it("refuses judges with different classes", () => {
    expect(() => cohenKappa({ table: [[1, 2, 3], [1, 2, 3]] })).toThrow(/square/); // biome-ignore format: a table
  });
});
