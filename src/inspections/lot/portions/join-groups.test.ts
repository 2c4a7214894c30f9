import { describe, expect, it } from "vitest";
import type { ExemplarFindings, ExemplarVerdict } from "../result.ts";
import { joinGroups } from "./join-groups.ts";

/** A typical part and how groups A, B, ... lie to it: verdict and largest difference in units of the limit. */
function typical(id: string, ...lies: readonly (readonly [ExemplarVerdict, number])[]): ExemplarFindings {
  const against = lies.map(([verdict, times], g) => ({ group: "ABC"[g], verdict, times }));
  return { id, against } as unknown as ExemplarFindings;
}

const good = { typical: ["g1", "g2"], size: 77 };
const fake = { typical: ["f1"], size: 3 };

describe("joinGroups", () => {
  it("leaves the groups of the first portion by themselves, none of them open", () => {
    expect(joinGroups(2, [], [])).toEqual([
      { construction: null, open: false },
      { construction: null, open: false },
    ]);
  });

  it("joins each group to the construction it agrees with best, be it the smaller one", () => {
    const before = [
      typical("g1", ["agrees", 0.9], ["agrees", 0.2]),
      typical("g2", ["agrees", 0.9], ["agrees", 0.3]),
      typical("f1", ["agrees", 0.1], ["agrees", 0.8]),
    ];
    expect(joinGroups(2, [good, fake], before).map((j) => j.construction)).toEqual([1, 0]);
  });

  it("joins the largest where another is hardly nearer: a misread part that stood alone", () => {
    const before = [
      typical("g1", ["agrees", 0.5]),
      typical("g2", ["agrees", 0.6]),
      typical("f1", ["agrees", 0.2]),
    ];
    expect(joinGroups(1, [good, fake], before).map((j) => j.construction)).toEqual([0]);
  });

  it("never joins two groups that the portion tells apart to one construction", () => {
    const before = [
      typical("g1", ["agrees", 0.2], ["agrees", 0.3]),
      typical("g2", ["agrees", 0.2], ["agrees", 0.3]),
    ];
    expect(joinGroups(2, [good], before)).toEqual([
      { construction: 0, open: false },
      { construction: null, open: false },
    ]);
  });

  it("follows most of the typical parts", () => {
    const against = [
      typical("g1", ["differs", 3]),
      typical("g2", ["differs", 3]),
      typical("g3", ["agrees", 0.5]),
    ];
    expect(joinGroups(1, [{ typical: ["g1", "g2", "g3"], size: 70 }], against)[0]?.construction).toBeNull();
  });

  it("leaves open what could not be held against the largest construction", () => {
    const before = [
      typical("g1", ["not-comparable", 0]),
      typical("g2", ["not-comparable", 0]),
      typical("f1", ["differs", 4]),
    ];
    expect(joinGroups(1, [good, fake], before)).toEqual([{ construction: null, open: true }]);
  });
});
