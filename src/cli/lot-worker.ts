// A worker of `candler lot`: started by lot-workers.ts, bundled beside the command line.
import { parentPort, workerData } from "node:worker_threads";
import { answerJobs } from "../jobs/answer-jobs.ts";
import type { LotJob, LotWorkerData } from "./lot-jobs.ts";
import { lotJobs } from "./lot-jobs.ts";

const doJob = lotJobs(workerData as LotWorkerData);
if (parentPort) answerJobs(parentPort, (job) => doJob(job as LotJob));
