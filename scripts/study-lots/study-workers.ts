import type { ChildProcess } from "node:child_process";
import { fork } from "node:child_process";
import type { StudyTask } from "./study-plan.ts";
import type { StudyFailure, StudyRecord } from "./study-record.ts";

/**
 * Runs tasks in processes that load the bundle once, at the start: what is built meanwhile changes nothing.
 * A process that ends takes its lot with it, as a failure, and is not started again.
 */
export async function runInProcesses(
  bundle: string,
  into: string,
  tasks: readonly StudyTask[],
  atOnce: number,
  onResult: (result: StudyRecord | StudyFailure, left: number) => void,
): Promise<void> {
  const open = [...tasks];
  let left = tasks.length;
  const start = () => fork(bundle, [], { env: { ...process.env, CANDLER_STUDY_INTO: into } });
  const children = Array.from({ length: Math.min(atOnce, tasks.length) }, start);
  const serve = async (child: ChildProcess): Promise<void> => {
    for (let task = open.shift(); task !== undefined; task = open.shift()) {
      const result = await ask(child, task);
      onResult(result, --left);
      if (child.exitCode !== null || child.signalCode !== null) return;
    }
    child.disconnect();
  };
  await Promise.all(children.map(serve));
}

function ask(child: ChildProcess, task: StudyTask): Promise<StudyRecord | StudyFailure> {
  return new Promise((resolve) => {
    const onMessage = (result: unknown) => {
      child.off("exit", onExit);
      resolve(result as StudyRecord | StudyFailure);
    };
    const onExit = (code: number | null, signal: string | null) => {
      child.off("message", onMessage);
      resolve({ task, failed: `the process ended: ${signal ?? code}` });
    };
    child.once("message", onMessage);
    child.once("exit", onExit);
    child.send(task);
  });
}
