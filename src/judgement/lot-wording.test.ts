import { describe, expect, it } from "vitest";
import type { SplitFollows } from "../inspections/lot/result.ts";
import { measured, notMeasured } from "../units/measured.ts";
import { cautionsFor, limitOfRadiograph } from "./cautions.ts";
import type { LotFacts } from "./lot-wording.ts";
import { conclusionTitle, lotSays, splitSays } from "./lot-wording.ts";

const compared = [
  {
    characteristic: "dieLength",
    assessable: true,
    because: "",
    smallestDetectable: measured(0.019, 0.002, "mm"),
  },
  {
    characteristic: "padLength",
    assessable: true,
    because: "",
    smallestDetectable: measured(0.024, 0.002, "mm"),
  },
  {
    characteristic: "wiresSeen",
    assessable: false,
    because: "aluminium wires do not show",
    smallestDetectable: notMeasured("1", "not-visible"),
  },
];
const by = measured(-0.221, 0.007, "mm");
const groupA = {
  name: "A",
  size: 30,
  differsFrom: [{ group: "B", because: [{ measurement: "dieLength", by }] }],
};
const groupB = {
  name: "B",
  size: 10,
  differsFrom: [{ group: "A", because: [{ measurement: "dieLength", by }] }],
};
const clean: LotFacts = {
  conclusion: "consistent",
  identity: "no-exemplar",
  found: 40,
  judged: 40,
  groups: [{ ...groupA, size: 40, differsFrom: [] }],
  suspects: 0,
  compared,
};

describe("lotSays", () => {
  it("words a clean sample as no difference above what could be found", () => {
    expect(lotSays(clean)).toBe(
      "No difference above 0.019 mm (die length) and 0.024 mm (pad length) found in the sample of 40 parts. " +
        "No exemplar was given: this speaks of sameness within the sample only.",
    );
  });

  it("counts those that could be judged, and suspects apart from the rest", () => {
    expect(lotSays({ ...clean, found: 41 })).toContain("found in the 40 of 41 parts that could be judged.");
    const says = lotSays({ ...clean, found: 41, suspects: 1 });
    expect(says).toContain("found among the 39 parts judged and not named suspect. 1 part is suspect.");
  });

  it("says what separates the groups, and why no part is named", () => {
    const mixed: LotFacts = { ...clean, conclusion: "mixed", groups: [groupA, groupB] };
    expect(lotSays(mixed)).toContain(
      "Mixed: the sample of 40 parts holds 2 constructions, A (30 parts), B (10 parts), separated by die length (0.221 ± 0.014 mm). " +
        "No group is a minority of at most 20 %, so no part is named suspect.",
    );
    expect(lotSays({ ...mixed, found: 6, judged: 6 })).toContain("With fewer than 8 parts judged");
    expect(lotSays({ ...mixed, suspects: 10 })).toContain("10 parts are suspect.");
  });

  it("infers nothing about a lot from three parts", () => {
    const three: LotFacts = {
      ...clean,
      found: 3,
      judged: 3,
      groups: [{ ...groupA, size: 3, differsFrom: [] }],
    };
    expect(lotSays(three)).toContain("From fewer than 8 parts nothing is inferred about a lot.");
    expect(lotSays(clean)).not.toContain("nothing is inferred");
  });

  it("counts no constructions where there is one with odd parts in it", () => {
    const odd: LotFacts = { ...clean, conclusion: "mixed", suspects: 2 };
    expect(lotSays(odd)).toContain(
      "Mixed: the sample of 40 parts is of one construction as far as seen, but for parts that are not like the rest. 2 parts are suspect.",
    );
  });

  it("gives the reason where nothing could be judged", () => {
    const none: LotFacts = { ...clean, conclusion: "not-assessable", found: 0, judged: 0, groups: [] };
    expect(lotSays(none)).toBe("Not assessable: no part was found in the pictures.");
    expect(lotSays({ ...none, found: 1, judged: 1 })).toContain("one part alone");
    const alone = ["A", "B", "C"].map((name) => ({ name, size: 1, differsFrom: [] }));
    expect(lotSays({ ...none, found: 3, judged: 3, groups: alone })).toContain("no two of 3 parts are alike");
    const pair = [{ name: "A", size: 2, differsFrom: [] }];
    expect(lotSays({ ...none, found: 2, judged: 2, groups: pair })).toContain("2 parts are too few");
    expect(lotSays({ ...none, found: 9, judged: 9 })).toBe("Not assessable: aluminium wires do not show.");
  });
});

describe("splitSays", () => {
  const follows: SplitFollows[] = [
    { kind: "codes", codes: ["2401", "2433"] },
    { kind: "inside-code", code: "2401" },
    { kind: "technique", differs: "60 kV and 80 kV" },
    { kind: "picture" },
    { kind: "codes-unknown" },
  ];

  it("has a sentence of its own for each thing a split may follow", () => {
    const sentences = follows.map(splitSays);
    expect(new Set(sentences).size).toBe(follows.length);
    expect(sentences[0]).toContain("2401 and 2433");
    expect(sentences[0]).toContain("ask the maker");
    expect(sentences[1]).toContain("under one code are suspect");
    expect(sentences[2]).toContain("60 kV and 80 kV");
  });

  it("and nothing printed says that a part is what it claims to be", () => {
    const identities = ["no-exemplar", "agrees-with-exemplar", "differs", "not-comparable"] as const;
    const conclusions = ["consistent", "mixed", "not-assessable"] as const;
    const texts = [
      ...follows.map(splitSays),
      ...identities.flatMap((identity) =>
        conclusions.map((conclusion) =>
          lotSays({ ...clean, identity, conclusion, groups: [groupA, groupB] }),
        ),
      ),
      ...conclusions.flatMap((conclusion) => [0, 2].map((suspects) => conclusionTitle(conclusion, suspects))),
      ...cautionsFor("device").map(({ says }) => says),
      limitOfRadiograph,
    ];
    for (const text of texts)
      expect(text.toLowerCase()).not.toMatch(/genuine|counterfeit-free|original part/);
  });
});
