import { spawnSync } from "node:child_process";
import { mkdirSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { projectRoot } from "../support/needs.ts";

/** A project of one test file that needs what no machine has, run by vitest with this project's reporter. */
const folder = join(projectRoot, "node_modules", ".candler-skips");

const config = `
import { skipReporter } from "../../test/support/skip-reporter.ts";
export default { test: {
  include: ["*.test.ts"], exclude: [],
  reporters: ["default", skipReporter({ skipsFail: process.env.CANDLER_NO_SKIPS === "1" })],
} };`;

const tests = `
import { expect, it } from "vitest";
import { describeNeeding, needsProgram } from "../../test/support/needs.ts";
it("runs", () => expect(1).toBe(1));
describeNeeding(needsProgram("node"), "with node", () => { it("runs too", () => expect(1).toBe(1)); });
describeNeeding(needsProgram("no-such-program"), "with a program", () => {
  it("prints a page", () => expect(1).toBe(2));
});
describeNeeding(needsProgram("no-such-program"), "with data", () => { throw new Error("no file"); });`;

function runTests(extra: Record<string, string>) {
  const vitest = join(projectRoot, "node_modules", "vitest", "vitest.mjs");
  const env = { ...process.env, NO_COLOR: "1", CANDLER_NO_SKIPS: "", ...extra };
  return spawnSync(process.execPath, [vitest, "run", "--root", folder], { encoding: "utf8", env });
}

beforeAll(() => {
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, "vitest.config.ts"), config);
  writeFileSync(join(folder, "planted.test.ts"), tests);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe("skipped tests", () => {
  it("are listed by name with their reason, and pass on a machine that lacks something", () => {
    const run = runTests({});
    expect(run.stdout).toContain("Skipped (2):");
    expect(run.stdout).toContain(
      "planted.test.ts > with a program [needs program no-such-program not found on PATH] > prints a page",
    );
    expect(run.stdout).toContain("its tests could not be listed: no file");
    expect(run.stdout).toMatch(/2 passed/);
    expect(run.status).toBe(0);
  });

  it("fail the run where CANDLER_NO_SKIPS=1 says that nothing may be missing", () => {
    const run = runTests({ CANDLER_NO_SKIPS: "1" });
    expect(run.stdout).toContain("a skipped test fails this run");
    expect(run.status).toBe(1);
  });
});
