import { describe, expect, it } from "vitest";
import { inventLotResult } from "../contract/invented-lot.fixture.ts";
import type { JudgedLot } from "./judge-lot.ts";
import { judgeLot } from "./judge-lot.ts";
import { mergeViews } from "./merge-views.ts";
import type { PhysicalPart } from "./physical-parts.ts";

const { says: _says, assurance: _assurance, lotSuspect: _lotSuspect, ...findings } = inventLotResult();
const top = judgeLot({ ...findings, split: { kind: "codes-unknown" } }, { quantity: 100 });
const clean: JudgedLot = {
  ...top,
  parts: top.parts.slice(0, 3).map((part) => ({ ...part, id: `side of ${part.id}` })),
  groups: [{ ...top.groups[0], size: 3, differsFrom: [] }],
  suspects: [],
  conclusion: "consistent",
  says: "No difference found.",
};
const physical: PhysicalPart[] = Array.from({ length: 40 }, (_, at) => ({
  name: `P${at}`,
  views: [{ view: "top", part: `t${at}`, group: "top A", suspect: at < 5, assessable: at !== 39 }],
  suspect: at < 5,
  says: "",
}));

describe("mergeViews", () => {
  const merged = mergeViews(
    [
      { view: "top", judged: top },
      { view: "side", judged: clean },
    ],
    physical,
    100,
  );

  it("names groups by their view, wherever they are named", () => {
    expect(merged.groups.map(({ name }) => name)).toEqual(["top A", "top B", "side A"]);
    expect(merged.groups[0].differsFrom[0].group).toBe("top B");
    expect(merged.parts[0].group).toBe("top A");
    expect(merged.parts[40].group).toBe("side A");
    expect(merged.parts.find(({ assessable }) => !assessable)?.group).toBe(null);
  });

  it("is mixed when any view is, and says what each view says", () => {
    expect(merged.conclusion).toBe("mixed");
    expect(merged.says).toMatch(/^Seen from top: Mixed.*Seen from side: No difference found\.$/);
    expect(merged.suspects).toEqual(top.suspects);
    expect(merged.compared.map(({ characteristic }) => characteristic)).toContain("die length (side)");
  });

  it("counts physical parts once for what may remain", () => {
    expect(merged.assurance).toContain("Of 100 parts 39 were judged and 5 were suspect");
  });

  it("leaves the whole open where one view cannot be judged and none is mixed", () => {
    const open = { ...clean, conclusion: "not-assessable" as const };
    const views = [
      { view: "top", judged: clean },
      { view: "side", judged: open },
    ];
    expect(mergeViews(views, physical, null).conclusion).toBe("not-assessable");
  });
});
