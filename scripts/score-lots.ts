/**
 * Runs the lot inspection on folders of known truth and says how right it was.
 *
 * node scripts/run.mjs scripts/score-lots.ts [--json FILE] FOLDER...
 *
 * Each folder holds pictures and truth.json (docs/methods/simulation.md). One line a lot, below it everything
 * that is wrong, at the end a summary. Exits 1 when any lot has something wrong. Each lot runs in a process of
 * its own, so that its peak memory is its own.
 */
import { fork } from "node:child_process";
import { writeFileSync } from "node:fs";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { runFolder } from "./score-lots/run-folder.ts";
import type { Run, Score } from "./score-lots/score-lot.ts";
import { right, scoreLot } from "./score-lots/score-lot.ts";
import { summary } from "./score-lots/summary.ts";

/** Runs one lot in a process of its own. */
function runApart(folder: string): Promise<Run> {
  return new Promise((resolve, reject) => {
    const child = fork(fileURLToPath(import.meta.url), [folder], {
      env: { ...process.env, CANDLER_SCORE_ONE: "1" },
    });
    child.once("message", (run) => resolve(run as Run));
    child.once("exit", (code, signal) =>
      reject(new Error(`the run ended without a result: ${signal ?? code}`)),
    );
  });
}

async function main(): Promise<void> {
  const { values, positionals } = parseArgs({
    allowPositionals: true,
    options: { json: { type: "string" } },
  });
  if (!positionals.length) {
    console.error("usage: node scripts/run.mjs scripts/score-lots.ts [--json FILE] FOLDER...");
    process.exitCode = 2;
    return;
  }
  const scores: Score[] = [];
  const crashed: { lot: string; says: string }[] = [];
  for (const folder of positionals) {
    try {
      const score = scoreLot(folder, await runApart(folder));
      scores.push(score);
      console.log([score.line, ...score.wrong.map((w) => `    ${w}`)].join("\n"));
    } catch (error) {
      crashed.push({ lot: path.basename(folder), says: String(error) });
      console.log(`${path.basename(folder)}: CRASHED ${error}`);
    }
  }
  console.log(
    `\n${summary(scores)}${crashed.length ? `\ncrashed: ${crashed.map((c) => c.lot).join(" ")}` : ""}`,
  );
  if (values.json) writeFileSync(values.json, `${JSON.stringify({ scores, crashed }, null, 1)}\n`);
  process.exitCode = crashed.length || scores.some((s) => !right(s)) ? 1 : 0;
}

if (process.env.CANDLER_SCORE_ONE) {
  const run = await runFolder(process.argv.at(-1) as string);
  process.send?.(run, () => process.disconnect());
} else await main();
