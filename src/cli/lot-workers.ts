import { availableParallelism } from "node:os";
import { setFlagsFromString } from "node:v8";
import { Worker } from "node:worker_threads";
import type { LookedAtSource } from "../inspections/lot/finding/gather-parts.ts";
import type { PictureLook } from "../inspections/lot/finding/look-at-picture.ts";
import type { LotWork, ResultOf } from "../inspections/lot/part-tasks.ts";
import { JobLostError, NoWorkersError } from "../jobs/errors.ts";
import { createSharer } from "../jobs/share-arrays.ts";
import { startWorkerPool } from "../jobs/worker-pool.ts";
import type { Scale } from "../radiograph/radiograph.ts";
import type { PairedPicture } from "./calibration-frames.ts";
import type { LookJob, LotJob, LotWorkerData, PartJob } from "./lot-jobs.ts";
import { lotJobs, onlyAlone } from "./lot-jobs.ts";

/** A worker needs about 60 MiB for itself: more than these would not leave a lot's memory under 1 GiB. */
const mostWorkers = 4;

/** New objects start in this much memory: the usual 1 MiB is swept at every picture, a tenth of the time. */
const youngMiB = 16;

/** One worker a core; none on a single core, where they would only wait for each other. */
export function usualWorkers(cores: number = availableParallelism()): number {
  return cores < 2 ? 0 : Math.min(cores, mostWorkers);
}

/** The work of a lot in worker threads. Numbers and their order are those of one thread. */
export interface LotWorkers {
  readonly work: LotWork;
  source(paired: PairedPicture): LookedAtSource;
  close(): Promise<void>;
}

/**
 * Starts worker threads for a lot. What they cannot be started for, or end twice in the middle of, is done in this
 * thread; only a picture in the middle of which two workers ended is given up, as it would end this one too.
 *
 * @param script the bundled lot-worker.ts
 */
export function startLotWorkers(count: number, script: URL, scale: Scale): LotWorkers {
  setFlagsFromString(`--min-semi-space-size=${youngMiB}`);
  const data: LotWorkerData = { scale, picturesAtOnce: count };
  const pool = startWorkerPool(count, () => new Worker(script, { workerData: data }));
  const here = lotJobs({ ...data, picturesAtOnce: 1 });
  const share = createSharer();

  const run = async (job: LotJob, alone = false): Promise<unknown> => {
    try {
      return await pool.run(job, alone);
    } catch (error) {
      const done = error instanceof NoWorkersError || (error instanceof JobLostError && job.kind === "part");
      if (done) return here(job);
      throw error;
    }
  };
  const look = async (job: LookJob): Promise<PictureLook> => {
    const seen = await run(job);
    return (seen === onlyAlone ? await run({ ...job, alone: true }, true) : seen) as PictureLook;
  };
  return {
    work: {
      picturesAtOnce: count,
      each: (task, shared, items, onDone = () => {}) => {
        const sent = share(shared);
        let done = 0;
        return Promise.all(
          items.map(async (item) => {
            const result = await run({ kind: "part", task, shared: sent, item } as PartJob);
            onDone(++done);
            return result as ResultOf<typeof task>;
          }),
        );
      },
    },
    source: (paired) => ({
      picture: paired.picture,
      look: (request) => look({ kind: "look", paired, request, alone: false }),
    }),
    close: () => pool.close(),
  };
}
