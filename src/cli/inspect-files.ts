import type { LotExemplars } from "../inspections/lot/exemplars/gather-exemplars.ts";
import type { LotProgress } from "../inspections/lot/lot.ts";
import type { LotOptions } from "../inspections/lot/options.ts";
import type { InspectedInPortions } from "../inspections/lot/portions/inspect-in-portions.ts";
import { inspectInPortions } from "../inspections/lot/portions/inspect-in-portions.ts";
import type { Polarity, Scale } from "../radiograph/radiograph.ts";
import { noScale } from "../radiograph/scale.ts";
import type { PairedPicture } from "./calibration-frames.ts";
import { garbageCollector } from "./collect-garbage.ts";
import { radiographLoader } from "./load-radiograph.ts";
import { startLotWorkers, usualWorkers } from "./lot-workers.ts";
import type { Progress } from "./progress.ts";
import { steadyCompiler } from "./steady-compiler.ts";

/** Threads that do a lot's work. */
export interface LotStaff {
  /** 0: this thread alone. */
  readonly count: number;
  /** Their bundled script. */
  readonly script: URL;
}

export function usualStaff(): LotStaff {
  return { count: usualWorkers(), script: new URL("./lot-worker.mjs", import.meta.url) };
}

/** What every inspection of one run has in common. */
export interface InspectorSettings {
  readonly scale: Scale;
  readonly staff: LotStaff;
  readonly options: LotOptions;
  /** Pictures of parts of known origin. */
  readonly exemplars: readonly PairedPicture[];
  readonly ofOtherCode: NonNullable<LotExemplars["ofOtherCode"]>;
  readonly progress: Progress;
  /** Parts inspected together; as many as memory allows unless given. */
  readonly together?: number;
}

/** Inspects some pictures as a lot of their own. */
export type Inspect = (pictures: readonly PairedPicture[]) => Promise<InspectedInPortions>;

/** Lends out an inspector whose worker threads live until `use` is done. */
export async function withInspector<T>(
  { scale, staff, options, exemplars, ofOtherCode, progress, together }: InspectorSettings,
  use: (inspect: Inspect) => Promise<T>,
): Promise<T> {
  steadyCompiler();
  // Exemplars come at scales of their own, which is for the method to apply; they are few, so this thread reads them.
  const known = radiographLoader(noScale);
  const compareWith: LotExemplars = {
    ofOtherCode,
    sources: exemplars.map((one) => ({
      picture: one.picture,
      load: (lotPolarity?: Polarity["value"]) => known(one, lotPolarity),
    })),
  };
  const sweep = garbageCollector();
  const step: LotProgress = (stage, done, of) => progress.step(stage, done, of);
  if (!staff.count) {
    const load = radiographLoader(scale);
    const source = (one: PairedPicture) => ({
      picture: one.picture,
      load: (lotPolarity?: Polarity["value"]) => load(one, lotPolarity),
    });
    return use((pictures) =>
      inspectInPortions(pictures.map(source), options, step, undefined, compareWith, together, sweep),
    );
  }
  const workers = startLotWorkers(staff.count, staff.script, scale);
  try {
    return await use((pictures) =>
      inspectInPortions(
        pictures.map(workers.source),
        options,
        step,
        workers.work,
        compareWith,
        together,
        sweep,
      ),
    );
  } finally {
    await workers.close();
  }
}
