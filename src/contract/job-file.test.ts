import { describe, expect, it } from "vitest";
import { JobFileError } from "./errors.ts";
import { jobJsonSchema, readJobFile } from "./job-file.ts";

const read = (value: unknown) => readJobFile(JSON.stringify(value), "job.json");

describe("readJobFile", () => {
  it("takes an empty file, and one with a byte order mark", () => {
    expect(read({})).toEqual({});
    expect(readJobFile('\ufeff{"job":"J-0000"}', "job.json")).toEqual({ job: "J-0000" });
  });

  it("keeps what is stated", () => {
    const job = {
      schema: "candler.job/1",
      quantity: 3000,
      examiner: { name: "N. N.", level: "II" },
      instrument: { id: "X-00", calibrationDue: "2001-06-30" },
      techniqueSheet: { kv: 80, ua: 60, filter: "1 mm Al", frames: 32 },
      decisionRule: { text: "Zero suspects.", agreedOn: "2001-01-02" },
      steps: [{ step: "told", at: "2001-02-03T04:05:06Z", by: "N. N.", because: "first suspect" }],
      sensitivity: 0.9,
    };
    expect(read(job)).toEqual(job);
  });

  it.each([
    [{ jobb: 1 }, /unknown key "jobb"; known there: .*job, .*quantity/],
    [
      { instrument: { id: "X", due: "2001-06-30" } },
      /unknown key "due" in "instrument"; known there: id, calibrationDue/,
    ],
    [
      { steps: [{ step: "told", at: "2001-02-03T04:05:06Z", by: "N", because: "x", who: "" }] },
      /"who" in "steps.0"/,
    ],
    [{ quantity: "3000" }, /"quantity": .*number/],
    [{ quantity: 2.5 }, /"quantity"/],
    [{ sensitivity: 0 }, /"sensitivity"/],
    [{ instrument: { id: "X", calibrationDue: "30.6.2001" } }, /"instrument.calibrationDue"/],
    [{ steps: [{ step: "stopped", at: "2001-02-03T04:05:06Z", by: "N", because: "x" }] }, /"steps.0.step"/],
    [[], /the file/],
  ])("refuses %j", (value, says) => {
    expect(() => read(value)).toThrow(JobFileError);
    expect(() => read(value)).toThrow(says);
  });

  it("refuses what is not JSON", () => {
    expect(() => readJobFile("job: 1", "job.yaml")).toThrow(/job.yaml: expected JSON/);
  });
});

it("publishes the JSON Schema that this code makes (vitest -u writes it anew)", async () => {
  const text = `${JSON.stringify(jobJsonSchema(), null, 2)}\n`;
  await expect(text).toMatchFileSnapshot("../../docs/schema/candler.job-1.schema.json");
});
