import type { MessagePort } from "node:worker_threads";
import type { JobMessage, WorkerMessage } from "./job-messages.ts";
import { createSharer } from "./share-arrays.ts";

/**
 * A worker's side of a pool: does each job that comes and answers with its result, large arrays in shared memory.
 * What a job throws is its answer too.
 */
export function answerJobs(port: MessagePort, doJob: (job: unknown) => unknown): void {
  port.on("message", async ({ job }: JobMessage) => {
    port.postMessage(await answer(job, doJob));
  });
  port.postMessage({ kind: "ready" } satisfies WorkerMessage);
}

async function answer(job: unknown, doJob: (job: unknown) => unknown): Promise<WorkerMessage> {
  try {
    return { kind: "done", result: createSharer()(await doJob(job)) };
  } catch (error) {
    return error instanceof Error
      ? { kind: "failed", message: error.message, stack: error.stack }
      : { kind: "failed", message: String(error), stack: undefined };
  }
}
