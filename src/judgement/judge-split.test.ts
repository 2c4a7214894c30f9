import { describe, expect, it } from "vitest";
import type { CodeSplit } from "./code-split.ts";
import { judgeSplit } from "./judge-split.ts";

const inside: CodeSplit = {
  kind: "inside-code",
  mixed: [
    {
      code: "2401",
      groups: [
        { group: "A", parts: 10 },
        { group: "B", parts: 10 },
      ],
    },
  ],
  uncoded: 0,
};
const follows: CodeSplit = {
  kind: "codes",
  byGroup: [
    { group: "A", codes: ["2401", "2402"] },
    { group: "B", codes: ["2433"] },
  ],
  uncoded: 2,
};
const unseen = { kind: "codes-unknown" } as const;

describe("judgeSplit", () => {
  it("says so where there is no split", () => {
    expect(judgeSplit(null, null)).toEqual({ value: false, because: "No split into groups was found." });
  });

  it("makes a lot suspect that is split inside one code, half and half too", () => {
    const { value, because } = judgeSplit(unseen, inside);
    expect(value).toBe(true);
    expect(because).toContain("two constructions under one code are suspect");
    expect(because).toContain("Code 2401 holds 10 of group A and 10 of group B.");
  });

  it("names further codes that are mixed", () => {
    const two = { ...inside, mixed: [...inside.mixed, { code: "2402", groups: inside.mixed[0].groups }] };
    expect(judgeSplit(unseen, two).because).toContain("So is 2402.");
  });

  it("is conditional where the split follows the codes, and says which parts have none", () => {
    const { value, because } = judgeSplit(unseen, follows);
    expect(value).toBe(false);
    expect(because).toContain("ask the maker");
    expect(because).toContain(
      "Group A is 2401 and 2402, group B is 2433; no code holds parts of two groups.",
    );
    expect(because).toContain("2 compared parts have no code");
  });

  it("says both where codes and technique or picture go along with the split", () => {
    const picture = judgeSplit({ kind: "picture" }, inside);
    expect(picture.value).toBe(true);
    expect(picture.because).toMatch(/coincides with the pictures.*inside the one code 2401/s);
    const technique = judgeSplit({ kind: "technique", differs: "60 kV and 80 kV" }, inside);
    expect(technique.value).toBe(false);
    expect(technique.because).toMatch(/60 kV and 80 kV.*inside the one code 2401.*not called suspect/s);
    expect(judgeSplit({ kind: "picture" }, follows).because).toMatch(/pictures.*ask the maker/s);
  });

  it("says that no codes were given where none were", () => {
    expect(judgeSplit(unseen, null).because).toContain("No codes were given");
    const none: CodeSplit = { kind: "codes-unknown", none: true, uncoded: 4 };
    expect(judgeSplit({ kind: "picture" }, none).because).toMatch(/pictures.*No codes were given/s);
    expect(judgeSplit(unseen, { ...none, none: false }).because).toContain("none of its parts has a code");
  });
});
