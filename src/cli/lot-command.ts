import { mkdirSync, writeFileSync } from "node:fs";
import { dirname } from "node:path";
import type { LotDocument } from "../contract/lot-document.ts";
import { printable } from "../contract/printable.ts";
import { pullListCsv } from "../contract/pull-list-csv.ts";
import { pullList } from "../judgement/pull-list.ts";
import { lotReport } from "../report/lot-report.ts";
import { encodePng } from "./encode-png.ts";
import type { LotRequest } from "./lot-request.ts";
import { lotTable } from "./lot-table.ts";
import type { Progress } from "./progress.ts";
import { runLot } from "./run-lot.ts";

/** Runs the lot inspection on files and writes what was asked for. Returns the exit code of the contract. */
export async function lotCommand(request: LotRequest, progress: Progress): Promise<number> {
  const { document, aligned } = await runLot(request, progress);
  progress.end();
  if (request.json === "-") process.stdout.write(`${JSON.stringify(document, null, 2)}\n`);
  else if (request.json) writeText(request.json, `${JSON.stringify(document, null, 2)}\n`);
  const tell = (text: string) => {
    if (request.json !== "-") process.stdout.write(text);
  };
  const columns = process.stdout.columns ?? 100;
  tell(`${lotTable(document, { columns, colour: process.stdout.isTTY && !process.env.NO_COLOR })}\n`);
  if (request.pullList) {
    const entries = pullList(document.parts, document.suspects);
    writeText(request.pullList, pullListCsv(entries));
    tell(`\nPull list (${entries.length}): ${printable(request.pullList)}\n`);
  }
  if (request.report) {
    const { startedAt } = document.run;
    const { about = {} } = request;
    writeText(request.report, lotReport({ document, aligned, generatedAt: startedAt, encodePng, about }));
    tell(`\nReport: ${printable(request.report)}\n`);
  }
  return exitCode(document);
}

/** 1 anything objected to; else 3 something unreadable or not assessable; 2 nothing readable; 0 otherwise. */
function exitCode(document: LotDocument): number {
  if (document.suspects.length || document.conclusion === "mixed" || document.lotSuspect.value) return 1;
  if (document.parts.some((p) => p.calls.length)) return 1;
  if (!document.pictures.length) return 2;
  if (document.unreadable.length || document.conclusion === "not-assessable") return 3;
  return document.parts.some((p) => !p.assessable) ? 3 : 0;
}

function writeText(path: string, text: string): void {
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, text);
}
