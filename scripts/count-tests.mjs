// Prints `N passed, N failed, N skipped` from a results file of vitest's JSON reporter, and exits 1 if
// anything failed or nothing passed.
//   node scripts/count-tests.mjs RESULTS.json [MORE_FAILURES]
import { readFileSync } from "node:fs";

const [file, moreFailures = "0"] = process.argv.slice(2);
const results = readResults(file);
const fileFailures = results.testResults.filter(
  ({ status, assertionResults }) =>
    status === "failed" && assertionResults.every((test) => test.status !== "failed"),
);
const passed = results.numPassedTests;
const failed = results.numFailedTests + fileFailures.length + Number(moreFailures);
const skipped = results.numPendingTests + results.numTodoTests;

console.log(`${passed} passed, ${failed} failed, ${skipped} skipped`);
process.exitCode = failed > 0 || passed === 0 ? 1 : 0;

function readResults(path) {
  try {
    return JSON.parse(readFileSync(path, "utf8"));
  } catch {
    // No results: the tests never ran, and the stage that should have run them has failed.
    return { testResults: [], numPassedTests: 0, numFailedTests: 0, numPendingTests: 0, numTodoTests: 0 };
  }
}
