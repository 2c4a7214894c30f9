import path from "node:path";
import { pathToFileURL } from "node:url";
import type { LotWorkers } from "../src/cli/lot-workers.ts";
import { startLotWorkers } from "../src/cli/lot-workers.ts";
import { gatherParts } from "../src/inspections/lot/finding/gather-parts.ts";
import { inspectLot } from "../src/inspections/lot/lot.ts";
import { defaultLotOptions } from "../src/inspections/lot/options.ts";
import { placeLot } from "../src/inspections/lot/placing/place-lot.ts";
import type { PointPx } from "../src/numeric/image.ts";
import { noScale } from "../src/radiograph/scale.ts";
import type { OwnProcessResult } from "./bench-case.ts";

/** How far a lot is taken: to each part's difference from the lot's middle (as the reference), or to the findings. */
export type LotExtent = "differences" | "findings";

export interface LotJobResult extends OwnProcessResult {
  /** `odd` is null where the job ends before anything is called odd. */
  readonly parts: readonly { picture: string; centrePx: PointPx; odd: boolean | null }[];
}

/** As many workers as the two threads that the reference is given. */
const threads = 2;

/** One lot from picture files, in this process, timed: worker threads and their start included. */
export async function lotJob(extent: LotExtent, files: readonly string[]): Promise<LotJobResult> {
  const cpu = process.cpuUsage();
  const start = performance.now();
  const workers = startLotWorkers(threads, pathToFileURL(path.resolve("dist/lot-worker.mjs")), noScale);
  const sources = files.map((picture) => workers.source({ picture, flats: [], darks: [] }));
  const parts = await (extent === "findings" ? findings : differences)(sources, workers.work);
  await workers.close();
  const ms = performance.now() - start;
  const { user, system } = process.cpuUsage(cpu);
  return { parts, ms, cpuMs: (user + system) / 1000, peakMiB: process.resourceUsage().maxRSS / 1024 };
}

type Sources = Parameters<typeof inspectLot>[0];

async function findings(sources: Sources, work: LotWorkers["work"]): Promise<LotJobResult["parts"]> {
  const { findings: found } = await inspectLot(sources, defaultLotOptions, () => {}, work);
  return found.parts.map((part) => ({
    picture: part.picture,
    centrePx: [
      part.cornersPx.reduce((sum, p) => sum + p[0] / 4, 0),
      part.cornersPx.reduce((sum, p) => sum + p[1] / 4, 0),
    ],
    odd: part.suspect,
  }));
}

/** Read, find, register, tone, middle, difference: what the reference does, and no more. */
async function differences(sources: Sources, work: LotWorkers["work"]): Promise<LotJobResult["parts"]> {
  const { items } = await gatherParts(sources, () => {}, work.picturesAtOnce);
  const usable = items.filter((item) => !item.patch.part.cutByEdge);
  const { small, middle } = await placeLot(usable, null, work, () => {});
  for (const { data } of small) {
    for (let i = 0; i < data.length; i++) data[i] = Math.abs(data[i] - middle.data[i]);
  }
  return usable.map(({ picture, patch }) => ({
    picture: picture.picture,
    centrePx: patch.part.body.centrePx,
    odd: null,
  }));
}
