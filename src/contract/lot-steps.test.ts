import { describe, expect, it } from "vitest";
import { judgeLot } from "../judgement/judge-lot.ts";
import { ResumeError } from "./errors.ts";
import { inventLotPictures, inventLotResult } from "./invented-lot.fixture.ts";
import { orderedSteps, readStoppedLot, resumedSteps } from "./lot-steps.ts";
import type { LotStep } from "./lot-work-schema.ts";
import { toLotDocument } from "./to-lot-document.ts";

const stopped: LotStep = {
  step: "stopped",
  at: "2001-02-03T04:05:06Z",
  by: null,
  because: "first suspect",
  after: "tray_01.tif",
  suspects: ["tray_01.tif#2"],
};
const order = { at: "2001-02-04T09:00:00Z", by: "N. N.", because: "requester asks for 100 %" };

function documentWith(steps: LotStep[], notInspected: string[]) {
  const result = inventLotResult();
  const judged = judgeLot({ ...result, split: null }, { quantity: 3000 });
  const options = { scaleUmPerPx: null, bodyMm: null, quantity: 3000 };
  const run = { startedAt: stopped.at, millis: 1 };
  return toLotDocument(judged, inventLotPictures(), [], [], options, run, [], { steps, notInspected });
}

describe("readStoppedLot", () => {
  it("takes the document of a stopped inspection", () => {
    const document = documentWith([stopped], ["tray_07.tif"]);
    expect(readStoppedLot(JSON.stringify(document))).toEqual(document);
  });

  it("refuses another document, or one that was not stopped", () => {
    expect(() => readStoppedLot("{")).toThrow(ResumeError);
    expect(() => readStoppedLot('{"schema":"candler.voids/1"}')).toThrow("candler.lot/1");
    expect(() => readStoppedLot(JSON.stringify(documentWith([], [])))).toThrow("was not stopped");
    expect(() => readStoppedLot(JSON.stringify(documentWith([stopped], [])))).toThrow("was not stopped");
  });
});

describe("resumedSteps", () => {
  const previous = documentWith([stopped], ["tray_07.tif"]);
  const hashes = previous.pictures.map(({ sha256 }) => sha256);

  it("carries the record on", () => {
    expect(resumedSteps(previous, [...hashes, "f".repeat(64)], order)).toEqual([
      stopped,
      { step: "resumed", ...order, after: null, suspects: [] },
    ]);
  });

  it("refuses when a picture inspected before is gone or changed", () => {
    const { picture } = previous.pictures[2];
    expect(() => resumedSteps(previous, hashes.toSpliced(2, 1, "0".repeat(64)), order)).toThrow(picture);
  });
});

it("puts the job's steps in their place in time, once", () => {
  const told = { step: "told", at: "2001-02-03T07:00:00+02:00", by: "N. N.", because: "by letter" } as const;
  const resumed: LotStep = { step: "resumed", ...order, after: null, suspects: [] };
  const once = orderedSteps([stopped, resumed], { steps: [told] }, Date.parse);
  expect(once.map(({ step }) => step)).toEqual(["stopped", "told", "resumed"]);
  expect(orderedSteps(once, { steps: [told] }, Date.parse)).toEqual(once);
});
