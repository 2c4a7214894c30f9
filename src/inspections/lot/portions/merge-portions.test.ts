import { describe, expect, it } from "vitest";
import { measured } from "../../../units/measured.ts";
import type { ExemplarFindings, LotCall, LotFindings, LotPart } from "../result.ts";
import type { Construction, InspectedPortion } from "./inspected-portion.ts";
import { judgeConstructions, mergePortions } from "./merge-portions.ts";

const call: LotCall = { kind: "foreign", boxPx: [0, 0, 2, 2], says: "a speck" };
const shorter = { measurement: "dieLength", by: measured(-8, 0.5, "px") };

interface Holds {
  /** Construction and size of each group, the larger first. */
  readonly groups: readonly (readonly [construction: number, size: number])[];
  /** Part that has a call of its own. */
  readonly called?: number;
  readonly before?: readonly ExemplarFindings[];
  readonly exemplars?: readonly ExemplarFindings[];
}

/** A portion of one picture whose parts are `name#1`, `name#2`, ... group by group. */
function portion(name: string, { groups, called, before = [], exemplars = [] }: Holds): InspectedPortion {
  const letters = groups.flatMap(([, size], g) => Array.from({ length: size }, () => "ABC"[g] as string));
  const parts = letters.map((group, i) => ({
    id: `${name}#${i + 1}`,
    picture: name,
    group,
    suspect: i === called,
    assessable: true,
    calls: i === called ? [call] : [],
    oddness: 0.2,
    cornersPx: [
      [0, 0],
      [4, 0],
      [4, 2],
      [0, 2],
    ],
  })) as unknown as LotPart[];
  const findings = {
    method: { id: "lot", version: "1" },
    parts,
    exemplars,
    compared: [],
    groups: groups.map((_, g) => ({
      name: "ABC"[g],
      differsFrom: groups.flatMap((_, h) =>
        h === g
          ? []
          : [{ group: "ABC"[h], because: [shorter], heldOut: { p: 0.01, on: ["pad"], says: "seen again" } }],
      ),
    })),
    aligned: { width: 0, height: 0, bodyBoxPx: [0, 0, 0, 0], parts: [], averages: [], exemplars: [] },
  } as unknown as LotFindings;
  const pictures = [
    { picture: name, background: { greyMean: 3000 } },
  ] as unknown as InspectedPortion["pictures"];
  return {
    findings,
    pictures,
    exemplarPictures: [],
    unreadable: [],
    empty: [],
    before,
    constructionOf: groups.map(([construction]) => construction),
    odd: new Set(),
    corners: [0, 1, 2, 3],
  };
}

function merged(
  portions: readonly InspectedPortion[],
  constructions: readonly Construction[],
  given = false,
) {
  return mergePortions(portions, constructions, judgeConstructions(constructions, portions, given));
}

const construction = (size: number, typical: string[] = [], open = false) => ({ size, typical, open });

/** An exemplar, or a typical part, that lies so to the groups of one portion. */
function lies(id: string, ...verdicts: ("agrees" | "differs" | "not-comparable")[]): ExemplarFindings {
  const against = verdicts.map((verdict, g) => ({
    group: "ABC"[g],
    verdict,
    otherCode: false,
    because: verdict === "differs" ? [shorter] : [],
    compared: [],
    times: verdict === "differs" ? 3 : 0.3,
  }));
  return { id, picture: id, assessable: true, against } as unknown as ExemplarFindings;
}

describe("mergePortions", () => {
  it("judges a minority on the whole lot: few in all are suspect although they are the most of their portion", () => {
    const findings = merged(
      [
        portion("p1", { groups: [[0, 10]] }),
        portion("p2", {
          groups: [
            [1, 4],
            [0, 3],
          ],
        }),
        portion("p3", { groups: [[0, 10]] }),
      ],
      [construction(23), construction(4)],
    );
    expect(findings.groups.map(({ name, size }) => [name, size])).toEqual([
      ["A", 23],
      ["B", 4],
    ]);
    expect(findings.suspects).toEqual(["p2#1", "p2#2", "p2#3", "p2#4"]);
    expect(findings.conclusion).toBe("mixed");
    const [suspect] = findings.parts.filter((p) => p.suspect);
    expect(suspect?.calls).toMatchObject([{ kind: "die", boxPx: [0, 0, 4, 2] }]);
    expect(suspect?.calls[0]?.says).toBe("its construction, group B, differs from group A of the lot");
    expect(findings.groups[1]?.differsFrom).toMatchObject([{ group: "A", heldOut: { p: 0.01 } }]);
  });

  it("names no one where two constructions share the lot, though one is small in a portion", () => {
    const findings = merged(
      [
        portion("p1", {
          groups: [
            [0, 9],
            [1, 1],
          ],
        }),
        portion("p2", {
          groups: [
            [1, 9],
            [0, 1],
          ],
        }),
      ],
      [construction(10), construction(10)],
    );
    expect(findings.conclusion).toBe("mixed");
    expect(findings.suspects).toEqual([]);
  });

  it("knows what separates constructions that never met, from the typical parts", () => {
    const { groups } = merged(
      [
        portion("p1", { groups: [[0, 20]] }),
        portion("p2", { groups: [[1, 5]], before: [lies("p1#1", "differs")] }),
      ],
      [construction(20, ["p1#1"]), construction(5, ["p2#1"])],
    );
    expect(groups[1]?.differsFrom).toMatchObject([
      { group: "A", because: [{ by: { value: -8 } }], heldOut: { p: null } },
    ]);
    expect(groups[0]?.differsFrom).toMatchObject([{ group: "B", because: [{ by: { value: 8 } }] }]);
  });

  it("keeps a part's own calls and stays one construction", () => {
    const findings = merged(
      [portion("p1", { groups: [[0, 10]] }), portion("p2", { groups: [[0, 10]], called: 3 })],
      [construction(20)],
    );
    expect(findings.suspects).toEqual(["p2#4"]);
    expect(findings.groups).toHaveLength(1);
    expect(findings.conclusion).toBe("mixed");
    expect(findings.split).toBeNull();
  });

  it("never names parts suspect that may be of the largest construction, nor calls such a lot consistent", () => {
    const findings = merged(
      [portion("p1", { groups: [[0, 20]] }), portion("p2", { groups: [[1, 4]] })],
      [construction(20), construction(4, [], true)],
    );
    expect(findings.suspects).toEqual([]);
    expect(findings.conclusion).toBe("not-assessable");
  });

  it("agrees with an exemplar only if every portion does, and lets it name the most as the odd ones", () => {
    const agreeing = [portion("p1", { groups: [[0, 9]], exemplars: [lies("e", "agrees")] })];
    const open = [...agreeing, portion("p2", { groups: [[0, 9]], exemplars: [lies("e", "not-comparable")] })];
    expect(merged(agreeing, [construction(9)], true).identity).toBe("agrees-with-exemplar");
    expect(merged(open, [construction(18)], true).identity).toBe("not-comparable");
    const fakes = [
      portion("p1", {
        groups: [
          [0, 9],
          [1, 3],
        ],
        exemplars: [lies("e", "differs", "agrees")],
      }),
      portion("p2", { groups: [[0, 9]], exemplars: [lies("e", "differs")] }),
    ];
    const findings = merged(fakes, [construction(18), construction(3)], true);
    expect(findings.suspects).toHaveLength(18);
    expect(findings.groups.map((g) => g.againstExemplar)).toEqual(["differs", "agrees"]);
  });
});
