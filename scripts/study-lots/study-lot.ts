import { mkdirSync, rmSync, writeFileSync } from "node:fs";
import path from "node:path";
import { runLot } from "../../src/cli/run-lot.ts";
import { defaultLotOptions } from "../../src/inspections/lot/options.ts";
import { lotFiles } from "../../src/simulate/lot-files.ts";
import { lotOutcome } from "../../src/simulate/lot-outcome.ts";
import { matchParts } from "../../src/simulate/match-parts.ts";
import type { LengthError } from "../score-lots/lengths.ts";
import { scoreLengths } from "../score-lots/lengths.ts";
import { readTruth } from "../score-lots/truth.ts";
import type { StudyTask } from "./study-plan.ts";
import { specOf } from "./study-plan.ts";
import type { StudiedLength, StudyRecord } from "./study-record.ts";
import { wirePresence } from "./wire-presence.ts";

const silent = { step: () => {}, note: () => {}, end: () => {} };

/** Draws a lot into a folder of its own, inspects it in this thread, compares, and takes the folder away. */
export async function studyLot(task: StudyTask, into: string): Promise<StudyRecord> {
  const folder = task.folder ?? path.join(into, "pictures", task.id);
  try {
    const started = cpuSeconds();
    if (task.folder === null) draw(task, folder);
    const drawn = cpuSeconds();
    const { document } = await runLot(
      { inputs: [folder], options: defaultLotOptions, flat: [], dark: [], json: null, report: null },
      silent,
      { count: 0, script: new URL("file:///none") },
    );
    const inspected = cpuSeconds();
    const truth = readTruth(folder);
    const { matches } = matchParts(truth.images, document.parts);
    const seen = matches.flatMap((m) =>
      !m.truth.cut_by_edge && m.found?.assessable ? [{ m, found: m.found }] : [],
    );
    const { lengths, dies } = scoreLengths(seen);
    return {
      task,
      conclusion: document.conclusion,
      outcome: lotOutcome(truth, document.parts),
      wires: wirePresence(truth, document.parts),
      dieLength: lengths.dieLength.map(studied),
      dieWidth: lengths.dieWidth.map(studied),
      dies,
      renderSeconds: round(drawn - started, 2),
      inspectSeconds: round(inspected - drawn, 2),
    };
  } finally {
    if (task.folder === null) rmSync(folder, { recursive: true, force: true });
  }
}

/** Processor time of this process: a busy machine changes it little. */
function cpuSeconds(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
}

function draw(task: StudyTask, folder: string): void {
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder, { recursive: true });
  for (const { name, bytes } of lotFiles(specOf(task), task.seed))
    writeFileSync(path.join(folder, name), bytes);
}

function studied({ truePx, errorPx, expandedPx }: LengthError): StudiedLength {
  return { truePx: round(truePx, 2), errorPx: round(errorPx, 3), expandedPx: round(expandedPx, 3) };
}

function round(value: number, digits: number): number {
  return Number(value.toFixed(digits));
}
