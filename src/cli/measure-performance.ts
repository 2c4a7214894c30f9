import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { PerformanceDocument } from "../contract/performance-document.ts";
import { performanceSchemaName } from "../contract/performance-document.ts";
import { defaultLotOptions } from "../inspections/lot/options.ts";
import { lotFiles } from "../simulate/lot-files.ts";
import type { LotOutcome } from "../simulate/lot-outcome.ts";
import { lotOutcome } from "../simulate/lot-outcome.ts";
import type { LotSpec } from "../simulate/lot-spec.ts";
import { performanceAssumptions, performanceSays } from "../simulate/performance-says.ts";
import { sumOutcomes } from "../simulate/sum-outcomes.ts";
import type { LotTruth } from "../simulate/truth.ts";
import { asUsage } from "./preset-named.ts";
import type { Progress } from "./progress.ts";
import { runLot } from "./run-lot.ts";
import type { SimulateRequest } from "./simulate-request.ts";

type PerformanceRequest = Extract<SimulateRequest, { kind: "performance" }>;

const silent: Progress = { step: () => {}, note: () => {}, end: () => {} };

/**
 * Draws lots of one plan, each with the next seed, inspects each as `candler lot` does, and says how right it was.
 * Pictures lie in a temporary folder while a lot is inspected.
 */
export async function measurePerformance(
  request: PerformanceRequest,
  spec: LotSpec,
  progress: Progress,
): Promise<PerformanceDocument> {
  const startedAt = new Date().toISOString();
  const started = performance.now();
  const { preset, seed, lots, changes } = request;
  const done: { seed: number; outcome: LotOutcome; conclusion: string }[] = [];
  let version = "";
  for (let i = 0; i < lots; i++) {
    progress.step("lots", i, lots);
    const one = await inspectDrawn(spec, seed + i);
    version = one.version;
    done.push({ seed: seed + i, outcome: one.outcome, conclusion: one.conclusion });
  }
  progress.step("lots", lots, lots);
  const sum = sumOutcomes(done.map(({ outcome }) => outcome));
  const { constructions, exposures, mmPerPx } = spec;
  return {
    schema: performanceSchemaName,
    method: { id: "lot", version },
    invented: true,
    options: {
      preset,
      seed,
      lots,
      parts: changes.parts ?? null,
      kv: changes.kv ?? null,
      umPerPx: changes.umPerPx ?? null,
      openBeamSnr: changes.openBeamSnr ?? null,
    },
    plan: {
      description: spec.description,
      parts: constructions.reduce((total, c) => total + c.count, 0),
      packages: [...new Set(constructions.map((c) => c.construction.family))],
      umPerPx: Number((mmPerPx * 1000).toFixed(6)),
      exposures: exposures.map(({ kv, filterMm, detector }) => ({
        kv,
        filterMm: { ...filterMm },
        openBeamSnr: detector.openBeamSnr,
      })),
    },
    says: performanceSays(sum),
    assumed: performanceAssumptions(spec),
    detected: sum.detected,
    detectedByKind: sum.detectedByKind.map((kind) => ({ ...kind })),
    falselySuspect: sum.falselySuspect,
    falselyCalled: sum.falselyCalled,
    falselySplit: sum.falselySplit,
    withFalseSuspect: sum.withFalseSuspect,
    anythingFalse: sum.anythingFalse,
    toldApart: sum.toldApart,
    notJudged: sum.notJudged,
    lots: done.map(documentLot),
    run: { startedAt, millis: Math.round(performance.now() - started), node: process.version },
  };
}

async function inspectDrawn(spec: LotSpec, seed: number) {
  const folder = mkdtempSync(join(tmpdir(), "candler-simulated-"));
  try {
    let truth: LotTruth | null = null;
    asUsage(() => {
      for (const { name, bytes } of lotFiles(spec, seed)) {
        if (name === "truth.json") truth = JSON.parse(new TextDecoder().decode(bytes));
        else writeFileSync(join(folder, name), bytes);
      }
    });
    const { document } = await runLot(
      { inputs: [folder], options: defaultLotOptions, flat: [], dark: [], json: null, report: null },
      silent,
    );
    return {
      outcome: lotOutcome(truth as unknown as LotTruth, document.parts),
      conclusion: document.conclusion,
      version: document.method.version,
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function documentLot({
  seed,
  outcome,
  conclusion,
}: {
  seed: number;
  outcome: LotOutcome;
  conclusion: string;
}): PerformanceDocument["lots"][number] {
  const missed = outcome.odd.flatMap(({ id, is, missedAs }) =>
    missedAs === null ? [] : [{ part: id, is, as: missedAs }],
  );
  return {
    seed,
    parts: outcome.parts,
    toFind: outcome.odd.length,
    found: outcome.odd.length - missed.length,
    missed,
    falselySuspect: outcome.falselySuspect.map(({ id }) => id),
    falselyCalled: outcome.falselyCalled.map(({ id }) => id),
    falselySplit: outcome.falselySplit,
    toldApart: outcome.toldApart,
    notJudged: [...outcome.notFound, ...outcome.notAssessed],
    conclusion,
  };
}
