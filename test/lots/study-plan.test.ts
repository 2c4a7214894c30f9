import { describe, expect, it } from "vitest";
import { specOf, studyPlan } from "../../scripts/study-lots/study-plan.ts";
import type { StudyRecord } from "../../scripts/study-lots/study-record.ts";
import { studySummary, summaryText } from "../../scripts/study-lots/study-summary.ts";

describe("studyPlan", () => {
  it("has every kind once a round, and begins like a shorter study", () => {
    const long = studyPlan(40, 9, 3);
    const kinds = long.filter((t) => t.series === "fault").map((t) => t.kind);
    expect(new Set(kinds.slice(0, 17)).size).toBe(17);
    expect(new Set(kinds.slice(17, 34)).size).toBeGreaterThanOrEqual(16);
    expect(studyPlan(5, 0, 3)).toEqual(long.slice(0, 5));
    expect(studyPlan(5, 0, 4)[0].seed).not.toBe(long[0].seed);
  });

  it("covers every condition in every package before it repeats one", () => {
    const pairs = studyPlan(126, 60, 1).map((t) => `${t.series} ${t.kind} ${t.package}`);
    expect(new Set(pairs).size).toBe(186);
  });

  it("draws null lots of 8 to 24 parts, one construction", () => {
    const sizes = studyPlan(0, 60, 1).map((task) => {
      const { constructions, faults } = specOf(task);
      expect([constructions.length, faults.length]).toEqual([1, 0]);
      return constructions[0].count;
    });
    expect(Math.min(...sizes)).toBeGreaterThanOrEqual(8);
    expect(Math.max(...sizes)).toBeLessThanOrEqual(24);
    expect(new Set(sizes).size).toBe(8);
  });
});

describe("studySummary", () => {
  const [task] = studyPlan(0, 1, 1);
  const outcome: StudyRecord["outcome"] = {
    parts: 10,
    notFound: [],
    notAssessed: [],
    spurious: [],
    odd: [],
    sound: 10,
    falselySuspect: [],
    falselyCalled: [],
    constructions: 1,
    groups: 1,
    falselySplit: false,
    toldApart: null,
  };
  const record: StudyRecord = {
    task,
    conclusion: "consistent",
    outcome,
    wires: [{ fromCnr: 5, leads: 80, right: 78, wrong: 0, open: 1, untold: 1 }],
    dieLength: [
      { truePx: 100, errorPx: -0.5, expandedPx: 1 },
      { truePx: 100, errorPx: 1.5, expandedPx: 1 },
    ],
    dieWidth: [],
    dies: 3,
    renderSeconds: 1,
    inspectSeconds: 3,
  };
  const split = { ...record, outcome: { ...outcome, falselySplit: true, groups: 2 } };
  const failed = { task: { ...task, id: "null-0009" }, failed: "the process ended: SIGKILL" };
  const summary = studySummary([record, record, split, failed]);

  it("gives the share of lots split with its interval, wires and coverage with their denominators", () => {
    const all = summary.rows["null lots, by way to lie"].at(-1);
    expect(all?.falselySplit).toMatchObject({ count: 1, of: 3 });
    // scipy 1.10.1, exact, 1 of 3: 0.0084038 to 0.9057007.
    expect(all?.falselySplit.low).toBeCloseTo(0.0084038, 6);
    expect(all?.falselySplit.high).toBeCloseTo(0.9057007, 6);
    expect(summary.wires["own lots"]).toMatchObject([{ fromCnr: 5, open: 3, untold: 3, right: { count: 234, of: 240 } }]); // biome-ignore format: one row
    const [length] = summary.coverage["own lots"];
    expect(length).toMatchObject({
      covered: { count: 3, of: 6 },
      biasPx: 0.5,
      meanUPercent: 1,
      unmeasured: 3,
    });
  });

  it("says which lots ended without a result", () => {
    expect(summary.failed).toEqual([expect.stringContaining("null-0009")]);
    expect(summaryText(summary)).toContain("SIGKILL");
  });
});
