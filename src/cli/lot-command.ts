import { mkdirSync, writeFileSync } from "node:fs";
import { dirname } from "node:path";
import { toDocumentPicture } from "../contract/document-schema.ts";
import type { LotDocument } from "../contract/lot-document.ts";
import { printable } from "../contract/printable.ts";
import { toLotDocument } from "../contract/to-lot-document.ts";
import type { InspectedLot, LotProgress } from "../inspections/lot/lot.ts";
import { inspectLot } from "../inspections/lot/lot.ts";
import type { LotOptions } from "../inspections/lot/options.ts";
import type { LotAligned } from "../inspections/lot/result.ts";
import { judgeLot } from "../judgement/judge-lot.ts";
import type { Polarity, Scale } from "../radiograph/radiograph.ts";
import { noScale, typedScale } from "../radiograph/scale.ts";
import type { LotReportAbout } from "../report/lot-conclusion.ts";
import { lotReport } from "../report/lot-report.ts";
import type { PairedPicture } from "./calibration-frames.ts";
import { pairCalibrationFrames } from "./calibration-frames.ts";
import { encodePng } from "./encode-png.ts";
import { inputFiles } from "./input-files.ts";
import { radiographLoader } from "./load-radiograph.ts";
import { lotTable } from "./lot-table.ts";
import { startLotWorkers, usualWorkers } from "./lot-workers.ts";
import type { Progress } from "./progress.ts";

/** What `candler lot` was asked. */
export interface LotRequest {
  readonly inputs: readonly string[];
  readonly options: LotOptions;
  readonly flat: readonly string[];
  readonly dark: readonly string[];
  /** File for the JSON document, "-" for standard output. */
  readonly json: string | null;
  /** File for the HTML report. */
  readonly report: string | null;
  /** What a person adds to the report: sample, technique. */
  readonly about?: LotReportAbout;
}

/** Threads that do a lot's work. */
export interface LotStaff {
  /** 0: this thread alone. */
  readonly count: number;
  /** Their bundled script. */
  readonly script: URL;
}

function usualStaff(): LotStaff {
  return { count: usualWorkers(), script: new URL("./lot-worker.mjs", import.meta.url) };
}

/** Runs the lot inspection on files and writes what was asked for. Returns the exit code of the contract. */
export async function lotCommand(request: LotRequest, progress: Progress): Promise<number> {
  const { document, aligned } = await runLot(request, progress);
  progress.end();
  if (request.json === "-") process.stdout.write(`${JSON.stringify(document, null, 2)}\n`);
  else if (request.json) writeText(request.json, `${JSON.stringify(document, null, 2)}\n`);
  if (request.json !== "-") {
    const columns = process.stdout.columns ?? 100;
    process.stdout.write(
      `${lotTable(document, { columns, colour: process.stdout.isTTY && !process.env.NO_COLOR })}\n`,
    );
  }
  if (request.report) {
    writeText(
      request.report,
      lotReport({
        document,
        aligned,
        generatedAt: document.run.startedAt,
        encodePng,
        ...(request.about === undefined ? {} : { about: request.about }),
      }),
    );
    if (request.json !== "-") process.stdout.write(`\nReport: ${printable(request.report)}\n`);
  }
  return exitCode(document);
}

/** The inspection without any output. */
export async function runLot(
  request: LotRequest,
  progress: Progress,
  staff: LotStaff = usualStaff(),
): Promise<{ document: LotDocument; aligned: LotAligned }> {
  const startedAt = new Date().toISOString();
  const started = performance.now();
  const { pictures: paired, ignored } = pairCalibrationFrames(inputFiles(request.inputs), {
    flats: request.flat,
    darks: request.dark,
  });
  const { scaleUmPerPx } = request.options;
  const scale = scaleUmPerPx === null ? noScale : typedScale(scaleUmPerPx);
  const inspected = await inspectFiles(paired, scale, staff, request.options, progress);
  for (const { picture, reason } of inspected.unreadable) progress.note(printable(`${picture}: ${reason}`));
  const result = judgeLot(inspected.findings, { quantity: request.options.quantity });
  const document = toLotDocument(
    result,
    inspected.pictures.map(toDocumentPicture),
    inspected.unreadable,
    [...ignored, ...inspected.empty],
    { ...request.options },
    { startedAt, millis: Math.round(performance.now() - started), node: process.version },
  );
  return { document, aligned: result.aligned };
}

async function inspectFiles(
  paired: readonly PairedPicture[],
  scale: Scale,
  { count, script }: LotStaff,
  options: LotOptions,
  progress: Progress,
): Promise<InspectedLot> {
  const step: LotProgress = (stage, done, of) => progress.step(stage, done, of);
  if (!count) {
    const load = radiographLoader(scale);
    const sources = paired.map((one) => ({
      picture: one.picture,
      load: (lotPolarity?: Polarity["value"]) => load(one, lotPolarity),
    }));
    return inspectLot(sources, options, step);
  }
  const workers = startLotWorkers(count, script, scale);
  try {
    return await inspectLot(paired.map(workers.source), options, step, workers.work);
  } finally {
    await workers.close();
  }
}

/** 1 anything objected to; else 3 something unreadable or not assessable; 2 nothing readable; 0 otherwise. */
export function exitCode(document: LotDocument): number {
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
