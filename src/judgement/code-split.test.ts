import { describe, expect, it } from "vitest";
import { codeSplit } from "./code-split.ts";

/** `A2401 B2433`: a part of group A coded 2401, one of group B coded 2433; `A-` has no code, `-2401` no group. */
function parts(text: string) {
  return text.split(" ").map((each) => ({
    group: each[0] === "-" ? null : each[0],
    code: each.slice(1) === "-" ? null : each.slice(1),
  }));
}

describe("codeSplit", () => {
  it("has nothing to say of one group", () => {
    expect(codeSplit(parts("A2401 A2433 -2433"))).toBe(null);
  });

  it("follows the codes where every code lies within one group", () => {
    expect(codeSplit(parts("A2401 A2402 A2401 B2433 A-"))).toEqual({
      kind: "codes",
      byGroup: [
        { group: "A", codes: ["2401", "2402"] },
        { group: "B", codes: ["2433"] },
      ],
      uncoded: 1,
    });
  });

  it("lies inside a code that holds parts of two groups, half and half or one alone", () => {
    expect(codeSplit(parts("A2401 A2401 B2401 B2401"))).toMatchObject({
      kind: "inside-code",
      mixed: [{ code: "2401", groups: [{ parts: 2 }, { parts: 2 }] }],
    });
    const one = codeSplit(parts("A2401 A2401 A2433 B2433 B2510"));
    expect(one).toMatchObject({ kind: "inside-code", mixed: [{ code: "2433" }] });
  });

  it("is unknown where a whole group has no code, whatever the others have", () => {
    expect(codeSplit(parts("A2401 A2402 B-"))).toEqual({ kind: "codes-unknown", none: false, uncoded: 1 });
    expect(codeSplit(parts("A- B-"))).toEqual({ kind: "codes-unknown", none: true, uncoded: 2 });
  });

  it("does not count parts that were not compared", () => {
    expect(codeSplit(parts("A2401 B2433 -2401"))).toMatchObject({ kind: "codes" });
  });
});
