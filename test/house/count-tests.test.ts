import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { projectRoot } from "../support/needs.ts";

const folder = mkdtempSync(join(tmpdir(), "candler-count-"));
afterAll(() => rmSync(folder, { recursive: true }));

const counts = { numPassedTests: 7, numFailedTests: 0, numPendingTests: 2, numTodoTests: 1, testResults: [] };

function count(results: object | null, moreFailures = "0") {
  const file = join(folder, results === null ? "absent.json" : "results.json");
  if (results !== null) writeFileSync(file, JSON.stringify(results));
  const script = join(projectRoot, "scripts", "count-tests.mjs");
  const run = spawnSync(process.execPath, [script, file, moreFailures], { encoding: "utf8" });
  return { line: run.stdout.trim(), status: run.status };
}

describe("the closing line of a whole run", () => {
  it("counts tests, and to-do tests as skipped", () => {
    expect(count(counts)).toEqual({ line: "7 passed, 0 failed, 3 skipped", status: 0 });
  });

  it("counts failed tests, and stages that failed beside them", () => {
    expect(count({ ...counts, numFailedTests: 1 }, "2")).toEqual({
      line: "7 passed, 3 failed, 3 skipped",
      status: 1,
    });
  });

  it("counts a test file that could not be loaded as a failure", () => {
    const testResults = [{ status: "failed", assertionResults: [] }];
    expect(count({ ...counts, testResults })).toEqual({ line: "7 passed, 1 failed, 3 skipped", status: 1 });
  });

  it("fails when nothing ran", () => {
    expect(count(null)).toEqual({ line: "0 passed, 0 failed, 0 skipped", status: 1 });
  });
});
