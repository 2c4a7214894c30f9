import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, afterEach, describe, expect, it, vi } from "vitest";
import { performanceDocumentSchema } from "../contract/performance-document.ts";
import { markCommand } from "./mark-command.ts";
import type { Progress } from "./progress.ts";
import { simulateCommand } from "./simulate-command.ts";

const silent: Progress = { step: () => {}, note: () => {}, end: () => {} };
const folder = mkdtempSync(join(tmpdir(), "candler-simulate-"));
afterAll(() => rmSync(folder, { recursive: true }));
afterEach(() => vi.restoreAllMocks());

/** Runs the command and returns what it printed. */
async function run(...args: string[]): Promise<string> {
  let printed = "";
  vi.spyOn(process.stdout, "write").mockImplementation((text) => {
    printed += text;
    return true;
  });
  expect(await simulateCommand(args, silent)).toBe(0);
  vi.restoreAllMocks();
  return printed;
}

const small = ["so8-wire-absent", "--seed", "2", "--um-per-px", "60", "--parts", "8"];

describe("candler simulate", () => {
  it("lists presets with what they are", async () => {
    const text = await run("--list");
    expect(text).toMatch(/^All parts are invented\./);
    expect(text).toMatch(/^ {2}so8-wire-absent +16 SO-8: a wire absent in a few\.$/m);
  });

  it("draws pictures that say they are invented, with their truth, the same for the same seed", async () => {
    const [into, again] = [join(folder, "a"), join(folder, "b")];
    expect(await run(...small, "--into", into)).toContain("8 pictures of invented parts and truth.json");
    await run(...small, "--into", again);
    const names = readdirSync(into).sort();
    expect(names).toHaveLength(9);
    for (const name of names) expect(readFileSync(join(into, name))).toEqual(readFileSync(join(again, name)));
    expect(readFileSync(join(into, names[0]), "latin1")).toContain("INVENTED parts, simulated picture");
    const truth = JSON.parse(readFileSync(join(into, "truth.json"), "utf8"));
    expect(truth.note).toMatch(/Invented/);
    expect(truth.expected.suspect_parts).toHaveLength(2);
  });

  it("writes into no folder that holds anything", async () => {
    const into = join(folder, "a");
    await expect(run(...small, "--into", into)).rejects.toThrow(/holds 9 files already/);
    await expect(run(...small, "--into", join(into, "truth.json"))).rejects.toThrow(/is a file/);
  });

  it("makes a training set and marks its sheet, whichever mark separates the cells", async () => {
    const into = join(folder, "training");
    await run(...small, "--into", into, "--training");
    const truthFile = join(into, "answers", "truth.json");
    const odd: string[] = JSON.parse(readFileSync(truthFile, "utf8")).expected.suspect_parts;
    const rows = readFileSync(join(into, "answers.csv"), "utf8").trim().split("\n").slice(1);
    const parts = rows.map((row) => row.split(",")[0] as string);
    const sheet = join(folder, "sheet.csv");
    const filled = parts.map((part) => `"${part}";${part === odd[0] ? "suspect" : "ok"}`);
    writeFileSync(sheet, `\uFEFFPart;Answer\r\n${filled.join("\r\n")}\r\n`);
    const text = markCommand(sheet, truthFile);
    // Clopper-Pearson, 1 of 2: sqrt(0.025) apart from the ends, 1.26 to 98.74 %.
    expect(text).toContain("hits          1 of 2, 50.0 % (1.3 to 98.7 %)");
    expect(text).toContain(`misses        1: ${odd[1]} (wire-absent)`);
    // 0 of 6: 1 - 0.025^(1/6) = 45.9 %.
    expect(text).toContain("false calls   0 of 6, 0.0 % (0.0 to 45.9 %)");
    // Agreement 7/8, by chance (1/8 2/8 + 7/8 6/8) = 0.6875: 0.6.
    expect(text).toContain("kappa         0.60");
  });

  it("says what is wrong with a sheet or a truth", () => {
    const sheet = join(folder, "wrong.csv");
    writeFileSync(sheet, "name,said\na,b\n");
    const truth = join(folder, "training", "answers", "truth.json");
    expect(() => markCommand(sheet, truth)).toThrow(/columns part and answer, got "name,said"/);
    expect(() => markCommand(sheet, sheet)).toThrow(/is no truth of a training set/);
    expect(() => markCommand(join(folder, "none.csv"), truth)).toThrow(/no such file/);
  });

  it("measures a planned inspection: a document of the contract, detection with its interval", async () => {
    const file = join(folder, "performance.json");
    const plan = ["so8-no-die", "--seed", "5", "--lots", "1", "--parts", "8", "--um-per-px", "27"];
    const text = await run(...plan, "--performance", file);
    const document = performanceDocumentSchema.parse(JSON.parse(readFileSync(file, "utf8")));
    expect(document.options).toMatchObject({
      preset: "so8-no-die",
      lots: 1,
      parts: 8,
      umPerPx: 27,
      kv: null,
    });
    expect(document.plan).toMatchObject({ parts: 8, packages: ["SO-8"], umPerPx: 27 });
    expect(document.detected.of).toBe(2);
    expect(document.lots).toHaveLength(1);
    expect(document.detected.count).toBe(document.lots[0].found);
    expect(text).toContain(document.says[0]);
    expect(text).toContain("die-absent");
  });
});
