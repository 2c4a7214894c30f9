import { describe, expect, it } from "vitest";
import { assuranceSays, boundOnLot, lotBounds } from "./assurance.ts";

describe("boundOnLot", () => {
  // TRADE.md section 4 (computed there): zero found, 95 % upper bound as a share of the lot.
  it.each([
    [3000, 45, 6.4],
    [3000, 122, 2.4],
    [3000, 300, 0.9],
    [100, 3, 62],
  ])("of %d parts, %d looked at, none found: %d %%", (quantity, looked, percent) => {
    const { share, mayRemain, atMost } = boundOnLot(quantity, looked, 0);
    expect(mayRemain).toBe(atMost);
    expect(Number((share * 100).toPrecision(percent < 1 ? 1 : 2))).toBe(percent);
  });

  it("counts what remains besides what was found", () => {
    const { atMost, mayRemain } = boundOnLot(100, 10, 2);
    expect(mayRemain).toBe(atMost - 2);
  });
});

describe("lotBounds", () => {
  it("states three confidences, growing, the middle one that of the sentence", () => {
    const facts = { conclusion: "consistent", quantity: 3000, looked: 45, found: 0 } as const;
    const bounds = lotBounds(facts);
    expect(bounds.map(({ confidence }) => confidence)).toEqual([0.9, 0.95, 0.99]);
    expect(bounds[1].atMost).toBe(191);
    expect(bounds[0].atMost).toBeLessThan(191);
    expect(bounds[2].atMost).toBeGreaterThan(191);
  });

  // TRADE.md section 4 (computed there): 100 % of a reel leaves nothing; 3 of 3000 in a sample of 1895 are seen at 95 %.
  it("leaves nothing where all were judged, and less than three in 3000 after 1895 without a find", () => {
    const all = { conclusion: "mixed", quantity: 3000, looked: 3000, found: 3 } as const;
    expect(lotBounds(all).map(({ mayRemain }) => mayRemain)).toEqual([0, 0, 0]);
    expect(boundOnLot(3000, 1895, 0).atMost).toBe(2);
    expect(boundOnLot(3000, 1880, 0).atMost).toBe(3);
  });

  it("states none where the sentence states none", () => {
    const facts = { conclusion: "consistent", quantity: 40, looked: 20, found: 0 } as const;
    expect(lotBounds({ ...facts, quantity: null })).toEqual([]);
    expect(lotBounds({ ...facts, conclusion: "mixed" })).toEqual([]);
    expect(lotBounds({ ...facts, quantity: 10 })).toEqual([]);
    expect(lotBounds({ ...facts, conclusion: "not-assessable" })).toEqual([]);
  });
});

describe("assuranceSays", () => {
  it("states bound, confidence and assumptions", () => {
    const says = assuranceSays({ conclusion: "consistent", quantity: 3000, looked: 45, found: 0 });
    expect(says).toContain(
      "Of 3000 parts 45 were judged and none was suspect: at 95 % confidence at most 191 of the lot (6.4 %)",
    );
    expect(says).toContain("drawn at random from a mixed lot");
    expect(says).toContain("above the smallest detectable");
  });

  it("says so where detection is imperfect, and the bound is worse", () => {
    const facts = { conclusion: "consistent", quantity: 3000, looked: 45, found: 0 } as const;
    expect(assuranceSays({ ...facts, sensitivity: 0.8 })).toContain("with probability 0.8");
    expect(boundOnLot(3000, 45, 0, 0.8).atMost).toBeGreaterThan(191);
  });

  it("gives the reason where none can be stated", () => {
    const facts = { conclusion: "consistent", quantity: 40, looked: 40, found: 0 } as const;
    expect(assuranceSays(facts)).toContain("All 40 parts");
    expect(assuranceSays({ ...facts, quantity: null })).toContain("quantity of the lot was not given");
    expect(assuranceSays({ ...facts, quantity: 30 })).toContain("check the quantity");
    expect(assuranceSays({ ...facts, conclusion: "mixed" })).toContain("sample is mixed");
    expect(assuranceSays({ ...facts, conclusion: "not-assessable" })).toContain("could not be judged");
  });
});
