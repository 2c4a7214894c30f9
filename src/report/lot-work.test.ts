import { describe, expect, it } from "vitest";
import { encodePng } from "../cli/encode-png.ts";
import { inventLotPictures, inventLotResult } from "../contract/invented-lot.fixture.ts";
import type { LotDocument } from "../contract/lot-document.ts";
import type { LotWorkAround } from "../contract/to-lot-document.ts";
import { toLotDocument } from "../contract/to-lot-document.ts";
import { measured } from "../units/measured.ts";
import { lotReport } from "./lot-report.ts";

const runAt = "2001-02-03T04:05:06Z";
const hostile = '"><img src=x onerror=alert(1)>';

function inventReport(around: LotWorkAround, changes: Partial<LotDocument> = {}): string {
  const result = inventLotResult();
  const options = { scaleUmPerPx: null, bodyMm: null, quantity: 3000 };
  const run = { startedAt: runAt, millis: 1 };
  const document = toLotDocument(result, inventLotPictures(), [], [], options, run, [], around);
  const aligned = [{ view: null, aligned: result.aligned }];
  return lotReport({ document: { ...document, ...changes }, aligned, generatedAt: runAt, encodePng });
}

const textOf = (report: string) => report.replaceAll(/<style>.*?<\/style>/gs, "").replaceAll(/<[^>]*>/g, " ");

describe("the work around a lot in its report", () => {
  it("prints a job file, and shouts what is overdue or was overruled", () => {
    const job = {
      job: "J-0000",
      examiner: { name: "I. N. Vented", qualification: "written practice", level: "II" },
      instrument: { id: "XR-00", calibrationDue: "2001-02-02" },
      techniqueSheet: { kv: 80, ua: 60, filter: "1 mm Al", sod: 50, sdd: 400, frames: 32 },
      sample: { how: "stratified", sampleOf: "a reel of 3000", size: 45 },
    } as const;
    const text = textOf(inventReport({ job, overruled: ["quantity: 1 here, 2 there."] }));
    for (const expected of [
      "J-0000",
      "I. N. Vented, written practice, level II",
      "XR-00: CALIBRATION OVERDUE: it was due on 2001-02-02",
      "80 kV, 60 µA, 1 mm Al, source to object 50 mm, source to detector 400 mm, magnification 8.00, 32 frames",
      "no decision rule was agreed",
      "45 parts planned, of a reel of 3000, stratified (start, middle, end)",
      "Job file overruled. quantity: 1 here, 2 there.",
    ])
      expect(text).toContain(expected);
    const due = { instrument: { id: "XR-00", calibrationDue: "2001-02-03" } };
    expect(textOf(inventReport({ job: due }))).not.toContain("OVERDUE");
  });

  it("prints steps, what was left out, the pull list with boxes, and the table of what may remain", () => {
    const report = inventReport({
      steps: [
        { step: "stopped", at: runAt, by: null, because: hostile, after: "a/tray_9.tif", suspects: [] },
        { step: "resumed", at: runAt, by: "I. N. Vented", because: "ordered", after: null, suspects: [] },
      ],
      notInspected: ["a/tray_10.tif"],
      codesOf: ({ id }) => ({
        code: hostile,
        position: id.length % 2 ? "12" : null,
        view: null,
        name: null,
        sample: null,
      }),
    });
    expect(report).not.toContain("<img");
    expect(report.match(/class="box"/g)).toHaveLength(5);
    const text = textOf(report);
    for (const expected of [
      "Steps on record",
      "Not inspected:",
      "Counted: 5",
      "Quarantine.",
      "95 %",
      "19.4 %",
    ])
      expect(text).toContain(expected);
  });

  it("leaves out what there is nothing to say of", () => {
    const text = textOf(inventReport({}, { suspects: [], next: [], bounds: [] }));
    for (const heading of [
      "Pull list",
      "Next steps",
      "Questions for the maker",
      "What may remain",
      "Exemplars",
    ])
      expect(text).not.toContain(heading);
  });

  it("prints the questions for the maker", () => {
    const text = textOf(inventReport({ job: { part: "P-0" } }, { questions: ["Is it yours?"] }));
    expect(text).toMatch(/Questions for the maker.*Part P-0\..*Is it yours\?/s);
    expect(text).toContain("Mixed by code, 5 parts suspect: ask the maker");
  });

  it("prints exemplars with code, source and what each group's comparison says", () => {
    const result = inventLotResult();
    const laid = result.aligned.parts[0];
    const reason = { measurement: "dieLength", by: measured(-0.2, 0.01, "mm") };
    const exemplar: LotDocument["exemplars"][number] = {
      ...exemplarOf(result.parts[0]),
      against: [
        {
          group: "A",
          verdict: "agrees",
          otherCode: false,
          because: [],
          compared: [],
          says: "Group A agrees with it.",
        },
        {
          group: "B",
          verdict: "differs",
          otherCode: false,
          because: [reason],
          compared: [],
          says: "Group B differs from it.",
        },
      ],
    };
    const document = toLotDocument(
      result,
      inventLotPictures(),
      [],
      [],
      { scaleUmPerPx: null, bodyMm: null, quantity: 3000 },
      { startedAt: runAt, millis: 1 },
      [],
      { job: { exemplars: [{ picture: "good.tif", code: "0012", source: "the maker", proof: "letter" }] } },
    );
    const aligned = {
      ...result.aligned,
      exemplars: [
        { id: exemplar.id, group: "B", attenuation: laid.attenuation, difference: laid.difference },
      ],
    };
    const text = textOf(
      lotReport({
        document: { ...document, exemplars: [exemplar] },
        aligned: [{ view: null, aligned }],
        generatedAt: runAt,
        encodePng,
      }),
    );
    for (const expected of ["0012", "the maker; letter", "Group A agrees with it.", "-0.200 ± 0.020 mm"])
      expect(text).toContain(expected);
    expect(text).toContain("good.tif against group B");
    expect(text).not.toMatch(/NaN|undefined|\[object/);
  });
});

function exemplarOf(part: ReturnType<typeof inventLotResult>["parts"][number]) {
  return {
    id: "exemplars/good.tif",
    picture: "exemplars/good.tif",
    cornersPx: part.cornersPx.map(([x, y]) => [x, y]) as LotDocument["parts"][number]["cornersPx"],
    assessable: true,
    because: null,
    pose: { turn: 0, mirrored: false, ambiguousWith: [] },
    relativeScale: 1,
    measurements: {},
  };
}
