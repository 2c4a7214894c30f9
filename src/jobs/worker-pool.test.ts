import { Worker } from "node:worker_threads";
import { afterEach, describe, expect, it } from "vitest";
import { JobLostError, NoWorkersError } from "./errors.ts";
import type { WorkerPool } from "./worker-pool.ts";
import { startWorkerPool } from "./worker-pool.ts";

/** Speaks as `answerJobs` does. A job is what to do: wait so many ms and give it back, throw it, or end. */
const script = `
  const { parentPort, threadId } = require("node:worker_threads");
  parentPort.on("message", ({ job }) => {
    if (job.end) process.exit(1);
    if (job.fail) return parentPort.postMessage({ kind: "failed", message: job.fail, stack: undefined });
    const from = Date.now();
    setTimeout(() => parentPort.postMessage({ kind: "done", result: { ...job, threadId, from, to: Date.now() } }), job.ms);
  });
  parentPort.postMessage({ kind: "ready" });
`;

interface Done {
  readonly ms: number;
  readonly threadId: number;
  readonly from: number;
  readonly to: number;
}

let pool: WorkerPool | undefined;
afterEach(() => pool?.close());

function poolOf(size: number, code = script) {
  let started = 0;
  pool = startWorkerPool(size, () => {
    started++;
    return new Worker(code, { eval: true, stderr: true });
  });
  const run = pool.run.bind(pool);
  return { run: (job: object, alone?: boolean) => run(job, alone) as Promise<Done>, started: () => started };
}

describe("a pool of workers", () => {
  it("gives each job its own answer, whichever ends first, and uses every worker", async () => {
    const { run } = poolOf(2);
    const waits = [120, 1, 1, 40, 1];
    const done = await Promise.all(waits.map((ms) => run({ ms })));
    expect(done.map((d) => d.ms)).toEqual(waits);
    expect(new Set(done.map((d) => d.threadId)).size).toBe(2);
  });

  it("hands on what a job throws, and goes on", async () => {
    const { run } = poolOf(1);
    await expect(run({ fail: "not a picture" })).rejects.toThrow("not a picture");
    expect((await run({ ms: 1 })).ms).toBe(1);
  });

  it("replaces a worker that ends, gives its job to another once, and loses no other job", async () => {
    const { run, started } = poolOf(2);
    const jobs = [{ ms: 30 }, { end: true }, ...Array.from({ length: 6 }, (_, k) => ({ ms: k }))];
    const ends = await Promise.allSettled(jobs.map((job) => run(job)));
    expect(ends.map((e) => e.status)).toEqual(jobs.map((j) => ("end" in j ? "rejected" : "fulfilled")));
    expect((ends[1] as PromiseRejectedResult).reason).toBeInstanceOf(JobLostError);
    // Two were ended by the job; one of them at least had to be replaced for the rest.
    expect(started()).toBeGreaterThan(2);
  });

  it("runs nothing beside a job that must be alone", async () => {
    const { run } = poolOf(2);
    const done = await Promise.all([run({ ms: 40 }), run({ ms: 40 }, true), run({ ms: 5 }), run({ ms: 5 })]);
    const alone = done[1] as Done;
    for (const other of done.filter((d) => d !== alone))
      expect(other.to <= alone.from || other.from >= alone.to).toBe(true);
  });

  it("says that there are none where workers cannot start, for jobs before and after it knows", async () => {
    const { run, started } = poolOf(2, "throw new Error('not here')");
    const early = await Promise.allSettled([run({ ms: 1 }), run({ ms: 1 }), run({ ms: 1 })]);
    for (const end of early) expect((end as PromiseRejectedResult).reason).toBeInstanceOf(NoWorkersError);
    await expect(run({ ms: 1 })).rejects.toThrow(/not here/);
    expect(started()).toBe(2);
  });

  it("leaves no job hanging when it is closed", async () => {
    const { run } = poolOf(1);
    const unfinished = [run({ ms: 10_000 }), run({ ms: 10_000 })];
    const ends = Promise.allSettled(unfinished);
    await pool?.close();
    for (const end of await ends) expect(end.status).toBe("rejected");
    await expect(run({ ms: 1 })).rejects.toThrow(NoWorkersError);
  });
});
