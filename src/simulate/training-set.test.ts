import { describe, expect, it } from "vitest";
import { AnswersError, LotSpecError } from "./errors.ts";
import { markAnswers } from "./mark-answers.ts";
import { constructionOf } from "./packages/families.ts";
import { trainingFiles } from "./training-set.ts";
import type { LotTruth } from "./truth.ts";
import { lotLike } from "./usual-lot.ts";

const so8 = constructionOf("g0", "SO-8", "A");
const lot = lotLike("secret-fault-name", "test", {
  constructions: [{ construction: so8, count: 4 }],
  faults: [{ fault: { kind: "empty-mould" }, count: 1 }],
  layout: { kind: "tray", rows: 1, columns: 2, gapMm: 0.8, marginMm: 0.4, walls: false, offsetMm: [0, 0] },
  mmPerPx: 0.06,
});
const files = new Map([...trainingFiles(lot, 5)].map(({ name, bytes }) => [name, bytes]));
const text = (name: string) => new TextDecoder("latin1").decode(files.get(name));
const truth = (): LotTruth => JSON.parse(text("answers/truth.json"));

describe("trainingFiles", () => {
  it("names pictures and parts so that nothing is given away, the truth in a folder of its own", () => {
    expect([...files.keys()]).toEqual([
      "picture-01.tif",
      "picture-02.tif",
      "answers.csv",
      "instructions.txt",
      "answers/truth.json",
    ]);
    for (const name of [...files.keys()].filter((n) => !n.startsWith("answers/")))
      expect(text(name)).not.toMatch(/secret|empty|SO-8|g0/);
    expect(text("picture-01.tif")).toContain("INVENTED");
    expect(text("answers.csv")).toBe(
      "part,answer\npicture-01#1,\npicture-01#2,\npicture-02#1,\npicture-02#2,\n",
    );
  });

  it("keeps the truth of each part under its new name", () => {
    const { images, expected } = truth();
    const odd = images.flatMap((i) => i.parts).filter((p) => p.faults.length > 0);
    expect(odd.map((p) => p.id)).toEqual(expected.suspect_parts);
    expect(images.map((i) => i.file)).toEqual(["picture-01.tif", "picture-02.tif"]);
    expect(Object.values(expected.groups).flat().sort()).toEqual(
      images.flatMap((i) => i.parts.map((p) => p.id)).sort(),
    );
  });

  it("refuses a lot without a rest to compare with", () => {
    const half = { ...lot, faults: [], constructions: [...lot.constructions, { construction: { ...so8, id: "g1" }, count: 4 }] }; // biome-ignore format: one lot
    expect(() => [...trainingFiles(half, 1)]).toThrow(LotSpecError);
  });
});

describe("markAnswers", () => {
  const { images, expected } = truth();
  const parts = images.flatMap((i) => i.parts.map((p) => p.id));
  const [odd] = expected.suspect_parts;
  const sheet = (suspects: readonly string[]) =>
    parts.map((part) => ({ part, answer: suspects.includes(part) ? " Suspect" : "ok" }));

  it("gives hits, misses and false calls with exact intervals", () => {
    const all = markAnswers(sheet([odd]), truth());
    expect([all.hits.count, all.hits.of, all.falseCalls.count, all.falseCalls.of]).toEqual([1, 1, 0, 3]);
    expect(all.kappa.kappa).toBe(1);
    // Clopper-Pearson of 0 in 3: scipy 0.707598.
    expect(all.falseCalls.high).toBeCloseTo(0.707598, 5);
    const other = parts.find((p) => p !== odd) as string;
    const wrong = markAnswers(sheet([other]), truth());
    expect(wrong.missed).toEqual([{ part: odd, is: "empty-mould" }]);
    expect(wrong.falselyCalled).toEqual([other]);
    // Agreement 2 of 4, by chance (1/4 1/4 + 3/4 3/4) = 0.625: (0.5 - 0.625) / 0.375.
    expect(wrong.kappa.kappa).toBeCloseTo(-1 / 3, 12);
  });

  it("asks for one answer in two words for every part", () => {
    const full = sheet([odd]);
    expect(() => markAnswers(full.slice(1), truth())).toThrow(`none for ${parts[0]}`);
    expect(() => markAnswers([...full, full[0]], truth())).toThrow(AnswersError);
    expect(() => markAnswers([{ part: parts[0], answer: "maybe" }], truth())).toThrow(/"maybe"/);
    expect(() => markAnswers([{ part: "picture-09#1", answer: "ok" }], truth())).toThrow(/picture-09#1/);
  });
});
