import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { parse } from "csv-parse/sync";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { LotDocument } from "../../src/contract/lot-document.ts";
import { lotDocumentSchema } from "../../src/contract/lot-document.ts";
import { candler } from "../support/candler.ts";
import { smallLot, smallMixedLot, tiffOf } from "../support/small-lot.ts";

let folder: string;
const put = (name: string, text: string | Uint8Array) => writeFileSync(join(folder, name), text);

/** Six parts of one construction and three of another in one tray: which is which, by the method. */
let mixed: LotDocument;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "candler-work-"));
  for (const name of ["mixed", "trays", "changed"]) mkdirSync(join(folder, name));
  put("mixed/tray.tif", tiffOf(smallMixedLot().picture));
  const clean = tiffOf(smallLot(null).picture);
  const faulty = tiffOf(smallLot({ kind: "die-absent", attach: "none" }).picture);
  for (const [at, bytes] of [clean, faulty, clean].entries()) put(`trays/tray_${at}.tif`, bytes);
  mixed = run("mixed").document;
});

afterAll(() => rmSync(folder, { recursive: true, force: true }));

function run(...args: string[]) {
  const { status, stdout, stderr } = candler(folder, "lot", ...args, "--json", "-");
  if (stdout === "") throw new Error(stderr);
  return { status, document: lotDocumentSchema.parse(JSON.parse(stdout)) };
}

describe("candler lot --codes", () => {
  const table = (codeOf: (group: string | null) => string) =>
    `\ufeffsep=;\r\nPosition;CODE;Part\r\n${mixed.parts.map(({ id, group }, at) => `${at + 20};"${codeOf(group)}";${id.replace("mixed/", "")}\r\n`).join("")}`;

  it("is conditional with questions for the maker where the split follows the codes", () => {
    expect(mixed.groups.map(({ size }) => size)).toEqual([6, 3]);
    put(
      "follow.csv",
      table((group) => (group === "A" ? "2401" : "2433")),
    );
    const { status, document } = run("mixed", "--codes", "follow.csv", "--report", "follow.html");
    expect(document.lotSuspect.value).toBe(false);
    expect(document.lotSuspect.because).toContain("ask the maker");
    expect(document.questions.join(" ")).toContain("2401 and 2433");
    expect(document.parts.map(({ position }) => position)).toEqual(
      Array.from({ length: 9 }, (_, at) => String(at + 20)),
    );
    expect(readFileSync(join(folder, "follow.html"), "utf8")).toContain("Questions for the maker");
    expect(status).toBe(1);
  });

  it("makes the lot suspect where it lies inside one code", () => {
    put(
      "inside.csv",
      table(() => "2401"),
    );
    const { status, document } = run("mixed", "--codes", "inside.csv");
    expect(document.lotSuspect.value).toBe(true);
    expect(document.lotSuspect.because).toContain("Code 2401 holds 6 of group A and 3 of group B");
    expect(document.questions).toEqual([]);
    expect(status).toBe(1);
  });

  it.each([
    ["remark,x\na,b", 'expected a column "part" or "picture"'],
    ["part,code\nelsewhere.tif#1,2401", '"elsewhere.tif#1"'],
    ["part,code\ntray.tif#12,2401", "shows 9 parts"],
    ["part,code\ntray.tif#1,1\ntray.tif#1,2", "has a row already"],
    ['part,code\n"tray.tif#1,2401', "quotes that are not closed"],
    ["", "empty file"],
    ["\0\0\0", "it is none"],
  ])("refuses the table %j as wrong use", (text, says) => {
    put("bad.csv", text);
    const { status, stdout, stderr } = candler(folder, "lot", "mixed", "--codes", "bad.csv");
    expect(stderr).toContain(says);
    expect(stdout).toBe("");
    expect(status).toBe(2);
  });
});

describe("candler lot --job", () => {
  const job = {
    job: "J-0000",
    code: "2401",
    quantity: 3000,
    instrument: { id: "X-00", calibrationDue: "2001-01-01" },
    sensitivity: 0.9,
  };

  it("is recorded, loudly where calibration is overdue, and yields to the command line", () => {
    put("job.json", JSON.stringify(job));
    const { document } = run("mixed", "--job", "job.json", "--quantity", "500", "--report", "job.html");
    expect(document.job).toEqual(job);
    expect(document.options).toMatchObject({ quantity: 500, sensitivity: 0.9 });
    expect(document.overruled).toEqual([
      "quantity: 500 on the command line, 3000 in the job file; the command line holds.",
    ]);
    expect(document.parts.every(({ code }) => code === "2401")).toBe(true);
    const report = readFileSync(join(folder, "job.html"), "utf8");
    for (const text of ["J-0000", "CALIBRATION OVERDUE", "no decision rule was agreed", "Job file overruled"])
      expect(report).toContain(text);
    expect(candler(folder, "lot", "mixed", "--job", "job.json").stdout).toContain("CALIBRATION OVERDUE");
  });

  it("takes the codes table from the job file's folder", () => {
    mkdirSync(join(folder, "case"), { recursive: true });
    put("case/codes.csv", "picture,code\ntray.tif,2401\n");
    put("case/job.json", JSON.stringify({ codes: "codes.csv" }));
    expect(run("mixed", "--job", "case/job.json").document.parts[0].code).toBe("2401");
  });

  it("refuses an unknown key, naming it and those known", () => {
    put("bad.json", '{"quantitty": 3000}');
    const { status, stderr } = candler(folder, "lot", "mixed", "--job", "bad.json");
    expect(stderr).toMatch(/unknown key "quantitty"; known there: .*quantity/);
    expect(status).toBe(2);
  });
});

describe("candler lot --tape --pull-list", () => {
  it("lists suspects by pocket, in CSV and report", () => {
    const { document } = run(
      ...["trays", "--tape", "101", "--pull-list", "out/pull.csv", "--report", "out/lot.html"],
    );
    const [suspect] = document.suspects;
    const rows = parse(readFileSync(join(folder, "out/pull.csv"), "utf8"), { bom: true, columns: true });
    const number = Number(suspect.split("#")[1]);
    expect(rows).toMatchObject([
      {
        position: String(101 + 9 + number - 1),
        picture: "trays/tray_1.tif",
        "number in picture": `${number}`,
      },
    ]);
    expect(document.remarks.join(" ")).toContain("from 101");
    const report = readFileSync(join(folder, "out/lot.html"), "utf8");
    expect(report).toContain("Do not return them to the seller unless their resale is precluded");
  });
});

describe("candler lot --stop-at-first-suspect", () => {
  it("stops there and lists what was not inspected", () => {
    const stopped = run("trays", "--stop-at-first-suspect");
    expect(stopped.status).toBe(1);
    expect(stopped.document.pictures).toHaveLength(2);
    expect(stopped.document.notInspected).toEqual(["trays/tray_2.tif"]);
    expect(stopped.document.says).toContain("stopped at the first suspect, after 2 of 3 pictures");
    expect(stopped.document.steps).toMatchObject([{ step: "stopped", after: "trays/tray_1.tif" }]);
    put("stopped.json", JSON.stringify(stopped.document));
  });

  const order = ["--resume", "stopped.json", "--by", "N. N.", "--because", "requester asks for all"];

  it("goes on with all pictures when ordered to, and keeps the steps", () => {
    const resumed = run("trays", ...order, "--report", "resumed.html");
    expect(resumed.document.pictures).toHaveLength(3);
    expect(resumed.document.notInspected).toEqual([]);
    expect(resumed.document.steps.map(({ step }) => step)).toEqual(["stopped", "resumed"]);
    expect(resumed.document.steps[1]).toMatchObject({ by: "N. N.", because: "requester asks for all" });
    expect(readFileSync(join(folder, "resumed.html"), "utf8")).toContain("requester asks for all");
  });

  it("does not go on without the pictures inspected before", () => {
    const gone = candler(folder, "lot", "trays/tray_2.tif", ...order);
    expect(gone.stderr).toContain("1 of 2 pictures inspected before the stop");
    expect(gone.status).toBe(2);
  });

  it("looks at everything where nothing is suspect", () => {
    const { status, document } = run("trays/tray_0.tif", "trays/tray_2.tif", "--stop-at-first-suspect");
    expect(document.pictures).toHaveLength(2);
    expect(document.steps).toEqual([]);
    expect(status).toBe(0);
  });

  it("is refused with --resume, and --resume without who and why", () => {
    for (const args of [
      ["--resume", "x.json"],
      ["--by", "N."],
      ["--tape", "one"],
    ])
      expect(candler(folder, "lot", "trays", ...args).status).toBe(2);
  });
});

describe("two views of one lot", () => {
  it("are compared each within itself and joined by the parts' names", () => {
    const rows = [0, 1].flatMap((tray) =>
      Array.from({ length: 9 }, (_, at) => `tray_${tray}.tif#${at + 1},${tray ? "side" : "top"},P${at + 1}`),
    );
    put("views.csv", `part,view,name\n${rows.join("\n")}\n`);
    const { document } = run(
      ...["trays/tray_0.tif", "trays/tray_1.tif", "--codes", "views.csv", "--quantity", "9"],
      ...["--report", "views.html"],
    );
    expect(document.views).toEqual(["top", "side"]);
    expect(document.groups.map(({ name }) => name)).toEqual(["top A", "side A"]);
    const [suspect] = document.suspects;
    const name = `P${suspect.split("#")[1]}`;
    expect(document.physicalParts).toHaveLength(9);
    expect(document.physicalParts.filter((part) => part.suspect)).toMatchObject([
      { name, says: "top: nothing found; side: suspect." },
    ]);
    expect(document.assurance).toContain("All 9 parts of the lot were judged and 1 was suspect");
    const together = candler(
      folder,
      ...["lot", "trays/tray_0.tif", "trays/tray_1.tif", "--codes", "views.csv"],
      ...["--exemplar", "trays/tray_2.tif"],
    );
    expect(together.stderr).toContain("An exemplar shows one view");
    expect(together.status).toBe(2);
    const report = readFileSync(join(folder, "views.html"), "utf8");
    expect(report).toContain("Seen from side");
    const ids = [...report.matchAll(/<image id="([^"]+)"/g)].map((match) => match[1]);
    expect(new Set(ids).size).toBe(ids.length);
  });
});
