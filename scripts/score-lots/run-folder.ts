import { runLot } from "../../src/cli/run-lot.ts";
import { defaultLotOptions } from "../../src/inspections/lot/options.ts";
import type { Run } from "./score-lot.ts";

/** Inspects a folder of pictures in this process, without any output. */
export async function runFolder(folder: string): Promise<Run> {
  const started = performance.now();
  const nothing = () => {};
  const { document } = await runLot(
    { inputs: [folder], options: defaultLotOptions, flat: [], dark: [], json: null, report: null },
    { step: nothing, note: nothing, end: nothing },
  );
  const seconds = (performance.now() - started) / 1000;
  return { document, seconds, peakMebibytes: process.resourceUsage().maxRSS / 1024 };
}
