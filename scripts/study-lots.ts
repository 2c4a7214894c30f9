/**
 * The performance study of the lot inspection: draws lots of known truth, inspects each, compares, sums up.
 *
 * node scripts/run.mjs scripts/study-lots.ts --faults N --null N --seed S --into DIR [FOLDER...]
 *
 * FOLDERs (pictures and truth.json of another simulator) are reported apart. Each finished lot appends a line to
 * DIR/results.jsonl, so that a run that was ended goes on where it stopped; pictures of drawn lots are taken away. At
 * the end DIR/summary.txt and DIR/summary.json. Only lots not yet in results.jsonl are run; the method must be the same: a
 * DIR started by another build is refused. --summary: sums up what is there and runs nothing.
 *
 * @see docs/methods/lot-performance.md
 */
import { createHash } from "node:crypto";
import { appendFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { studyLot } from "./study-lots/study-lot.ts";
import type { StudyTask } from "./study-lots/study-plan.ts";
import { studyPlan } from "./study-lots/study-plan.ts";
import type { StudyFailure, StudyRecord } from "./study-lots/study-record.ts";
import { studySummary, summaryText } from "./study-lots/study-summary.ts";
import { runInProcesses } from "./study-lots/study-workers.ts";

/** Lots at once, each in one thread of a process of its own. */
const atOnce = 2;

async function main(): Promise<void> {
  const { values, positionals } = parseArgs({
    allowPositionals: true,
    options: {
      faults: { type: "string", default: "0" },
      null: { type: "string", default: "0" },
      seed: { type: "string", default: "1" },
      into: { type: "string" },
      summary: { type: "boolean", default: false },
    },
  });
  const [faults, nulls, seed] = [values.faults, values.null, values.seed].map(Number);
  if (values.into === undefined || ![faults, nulls, seed].every((n) => Number.isSafeInteger(n) && n >= 0)) {
    console.error(
      "usage: node scripts/run.mjs scripts/study-lots.ts --faults N --null N --seed S --into DIR [FOLDER...]",
    );
    process.exitCode = 2;
    return;
  }
  const into = path.resolve(values.into);
  mkdirSync(into, { recursive: true });
  const results = path.join(into, "results.jsonl");
  const tasks = [...studyPlan(faults, nulls, seed), ...positionals.map(independent)];
  if (!values.summary) {
    if (!sameBuild(path.join(into, "method.json"), seed)) return;
    endLine(results);
    const done = new Set(readResults(results).map(({ task }) => task.id));
    const open = tasks.filter(({ id }) => !done.has(id));
    console.log(`${tasks.length} lots, ${open.length} to do`);
    await runInProcesses(fileURLToPath(import.meta.url), into, open, atOnce, (result, left) => {
      appendFileSync(results, `${JSON.stringify(result)}\n`);
      console.log(`${left} left; ${lineOf(result)}`);
    });
  }
  const all = readResults(results);
  const summary = studySummary(all);
  writeFileSync(path.join(into, "summary.json"), `${JSON.stringify(summary, null, 1)}\n`);
  writeFileSync(path.join(into, "summary.txt"), `${summaryText(summary)}\n`);
  console.log(summaryText(summary));
}

/** Holds the results of one folder to one build and one seed. */
function sameBuild(file: string, seed: number): boolean {
  const sha256 = createHash("sha256")
    .update(readFileSync(fileURLToPath(import.meta.url)))
    .digest("hex");
  const own = JSON.stringify({ build: sha256, seed, node: process.version });
  if (!existsSync(file)) writeFileSync(file, own);
  if (readFileSync(file, "utf8") === own) return true;
  console.error(
    `Expected the results in ${path.dirname(file)} to be of this build and seed, ${own}; they are of ${readFileSync(file, "utf8")}. Give another --into, or check out the build they were begun with.`,
  );
  process.exitCode = 2;
  return false;
}

/** Ends a line that was being written when a study was ended: the next result must not join it. */
function endLine(file: string): void {
  if (existsSync(file) && !/(^|\n)$/.test(readFileSync(file, "utf8"))) appendFileSync(file, "\n");
}

/** Lines that were written whole. */
function readResults(file: string): (StudyRecord | StudyFailure)[] {
  if (!existsSync(file)) return [];
  return readFileSync(file, "utf8")
    .split("\n")
    .flatMap((line) => {
      try {
        return [JSON.parse(line)];
      } catch {
        return [];
      }
    });
}

function independent(folder: string): StudyTask {
  const name = path.basename(path.resolve(folder));
  return { id: name, series: "independent", kind: name, package: name, seed: 0, parts: null, folder: path.resolve(folder) }; // biome-ignore format: one task
}

function lineOf(result: StudyRecord | StudyFailure): string {
  const { task } = result;
  const name = `${task.id} ${task.package} ${task.kind}`;
  if ("failed" in result) return `${name}: FAILED ${result.failed}`;
  const { outcome: o } = result;
  const count = (what: string, n: number) => (n ? `, ${n} ${what}` : "");
  return `${name}: ${o.odd.filter((p) => p.found).length} of ${o.odd.length} found${count("falsely suspect", o.falselySuspect.length)}${count("falsely called", o.falselyCalled.length)}${o.falselySplit ? ", FALSELY SPLIT" : ""}${o.toldApart === false ? ", NOT TOLD APART" : ""}${count("not found", o.notFound.length)}${count("not assessed", o.notAssessed.length)}${count("spurious", o.spurious.length)}, ${result.conclusion}, ${result.renderSeconds} + ${result.inspectSeconds} s`;
}

if (process.env.CANDLER_STUDY_INTO !== undefined) {
  const into = process.env.CANDLER_STUDY_INTO;
  // The study was ended: what is half done will be drawn again.
  process.on("disconnect", () => process.exit());
  process.on("message", async (task: StudyTask) => {
    try {
      process.send?.(await studyLot(task, into));
    } catch (error) {
      const failure: StudyFailure = {
        task,
        failed: error instanceof Error ? `${error.stack}` : String(error),
      };
      process.send?.(failure);
    }
  });
} else await main();
