import { describe, expect, it } from "vitest";
import { notMeasured } from "../units/measured.ts";
import { codeSplit } from "./code-split.ts";
import { makerQuestions } from "./maker-questions.ts";
import type { NextStepFacts } from "./next-steps.ts";
import { nextSteps } from "./next-steps.ts";

const clean: NextStepFacts = {
  conclusion: "consistent",
  suspects: 0,
  lotSuspect: false,
  found: 45,
  judged: 45,
  quantity: 3000,
  notInspected: 0,
  conditional: false,
  compared: [],
};

describe("nextSteps", () => {
  it("proposes nothing for a clean sample", () => {
    expect(nextSteps(clean)).toEqual([]);
  });

  it("offers 100 % when a sample shows a suspect, and not when all parts were judged", () => {
    const text = (facts: Partial<NextStepFacts>) => nextSteps({ ...clean, suspects: 1, ...facts }).join(" ");
    expect(text({})).toContain("100 % of the lot by X-ray: 2955 of 3000 parts have not been judged");
    expect(text({ quantity: null })).toContain("100 %");
    expect(text({ quantity: 45 })).not.toContain("100 %");
  });

  it("proposes the next test where wires cannot be assessed", () => {
    const wires = {
      characteristic: "wiresSeen",
      assessable: false,
      because: "do not show",
      smallestDetectable: notMeasured("1", "not-visible"),
    };
    expect(nextSteps({ ...clean, compared: [wires] }).join(" ")).toMatch(
      /acoustic.*opening.*common practice/,
    );
    expect(nextSteps({ ...clean, compared: [{ ...wires, assessable: true }] })).toEqual([]);
  });

  it("infers nothing about a lot from three parts", () => {
    expect(nextSteps({ ...clean, found: 3, judged: 3 })[0]).toContain("nothing is inferred about a lot");
  });

  it("asks for the order to go on after a stop", () => {
    expect(nextSteps({ ...clean, suspects: 1, notInspected: 12 })[0]).toContain("12 pictures");
  });
});

describe("makerQuestions", () => {
  const by = { value: 0.2, U: 0.01, k: 2, unit: "mm" } as const;
  const groups = [
    { name: "A", size: 5, differsFrom: [{ group: "B", because: [{ measurement: "dieLength", by }] }] },
    { name: "B", size: 5, differsFrom: [{ group: "A", because: [{ measurement: "dieLength", by }] }] },
  ];

  it("asks about each difference once, by codes", () => {
    const split = codeSplit([
      { group: "A", code: "2401" },
      { group: "B", code: "2433" },
    ]);
    const questions = makerQuestions(split, groups);
    expect(questions.filter((text) => text.includes("die length"))).toEqual([
      "In die length parts coded 2401 lie 0.200 ± 0.010 mm above parts coded 2433. Is this a change of yours, and from which code on?",
    ]);
  });

  it("asks nothing where the split lies inside a code", () => {
    const split = codeSplit([
      { group: "A", code: "2401" },
      { group: "B", code: "2401" },
    ]);
    expect(makerQuestions(split, groups)).toEqual([]);
  });
});
