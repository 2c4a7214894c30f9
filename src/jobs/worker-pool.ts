import type { Worker } from "node:worker_threads";
import { JobLostError, NoWorkersError } from "./errors.ts";
import type { WorkerMessage } from "./job-messages.ts";

/** Worker threads that do jobs given to them, each one at a time. */
export interface WorkerPool {
  readonly size: number;
  /**
   * Does a job in one of the workers. When the worker ends in the middle of it, another does it once more.
   *
   * @param alone no other job runs meanwhile
   * @throws whatever the job throws; JobLostError when two workers ended in the middle of it; NoWorkersError
   */
  run(job: unknown, alone?: boolean): Promise<unknown>;
  close(): Promise<void>;
}

interface Job {
  readonly job: unknown;
  readonly alone: boolean;
  readonly resolve: (result: unknown) => void;
  readonly reject: (error: unknown) => void;
  lost: number;
}

interface Hand {
  readonly worker: Worker;
  ready: boolean;
  job: Job | null;
  because: string;
}

const mostTries = 2;

/** What a job threw, as an error of this thread: the message for a person, the worker's own stack for a defect. */
function failure({
  message,
  stack,
}: {
  readonly message: string;
  readonly stack: string | undefined;
}): Error {
  return Object.assign(new Error(message), stack === undefined ? {} : { stack });
}

/**
 * Starts a pool. Workers answer by `answerJobs`; one that ends is replaced while there is work.
 *
 * @param start starts one worker
 */
export function startWorkerPool(size: number, start: () => Worker): WorkerPool {
  const hands = new Set<Hand>();
  const waiting: Job[] = [];
  let broken: NoWorkersError | null = null;
  let closed = false;

  function give(): void {
    for (const hand of hands) {
      const next = waiting[0];
      if (!next) return;
      const busy = [...hands].flatMap((h) => (h.job ? [h.job] : []));
      // What must be alone waits for the others, and they for it.
      if (busy.some((job) => job.alone) || (next.alone && busy.length)) return;
      if (!hand.ready || hand.job) continue;
      waiting.shift();
      hand.job = next;
      hand.worker.postMessage({ job: next.job });
    }
  }

  function answered(hand: Hand, message: WorkerMessage): void {
    if (message.kind === "ready") hand.ready = true;
    else {
      const { job } = hand;
      hand.job = null;
      if (message.kind === "done") job?.resolve(message.result);
      else job?.reject(failure(message));
    }
    give();
  }

  function ended(hand: Hand): void {
    hands.delete(hand);
    if (closed) return;
    // One that never became ready would not the next time either.
    if (!hand.ready) broken = new NoWorkersError(hand.because);
    if (hand.job) again(hand.job, hand.because);
    if (!broken && waiting.length) add();
    if (broken && !hands.size) for (const job of waiting.splice(0)) job.reject(broken);
    give();
  }

  function again(job: Job, because: string): void {
    job.lost++;
    if (job.lost < mostTries) waiting.unshift(job);
    else job.reject(new JobLostError(mostTries, because));
  }

  function add(): void {
    try {
      const hand: Hand = { worker: start(), ready: false, job: null, because: "it ended by itself" };
      hands.add(hand);
      hand.worker.on("message", (message: WorkerMessage) => answered(hand, message));
      hand.worker.on("error", (error) => {
        hand.because = error.message;
      });
      hand.worker.on("exit", () => ended(hand));
    } catch (error) {
      broken = new NoWorkersError(error instanceof Error ? error.message : String(error), { cause: error });
    }
  }

  for (let i = 0; i < size; i++) add();
  return {
    size,
    run: (job, alone = false) =>
      new Promise((resolve, reject) => {
        if (closed || (broken && !hands.size)) {
          reject(broken ?? new NoWorkersError("the pool is closed"));
          return;
        }
        waiting.push({ job, alone, resolve, reject, lost: 0 });
        while (!broken && hands.size < size && hands.size < waiting.length) add();
        give();
      }),
    close: async () => {
      closed = true;
      const unfinished = [...[...hands].flatMap((hand) => hand.job ?? []), ...waiting.splice(0)];
      for (const job of unfinished) job.reject(new NoWorkersError("the pool is closed"));
      await Promise.all([...hands].map((hand) => hand.worker.terminate()));
    },
  };
}
