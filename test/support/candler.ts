import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { projectRoot } from "./needs.ts";

/** The command line as a user starts it: what it printed where, and how it ended. */
export interface CandlerRun {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs `bin/candler` in a folder, as a shell would, without a terminal. */
export function candler(folder: string, ...args: string[]): CandlerRun {
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    [join(projectRoot, "bin/candler"), ...args],
    {
      cwd: folder,
      encoding: "utf8",
      maxBuffer: 64 << 20,
    },
  );
  return { status, stdout, stderr };
}
