// A worker of `candler lot`: started by lot-workers.ts, bundled beside the command line.
import { parentPort, workerData } from "node:worker_threads";
import { answerJobs } from "../jobs/answer-jobs.ts";
import { garbageCollector } from "./collect-garbage.ts";
import type { LotJob, LotWorkerData } from "./lot-jobs.ts";
import { lotJobs } from "./lot-jobs.ts";

/** A sweep takes some milliseconds; between two of them this many parts may be held needlessly. */
const jobsBetweenSweeps = 8;

const doJob = lotJobs(workerData as LotWorkerData);
const sweep = garbageCollector();
let done = 0;
if (parentPort)
  answerJobs(parentPort, (job) => {
    if (++done % jobsBetweenSweeps === 0) sweep();
    return doJob(job as LotJob);
  });
