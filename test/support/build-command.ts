import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { projectRoot } from "./needs.ts";

/** Before any test: bundles the command line, so that what tests start is made from the sources they stand beside. */
export function setup(): void {
  const { status, stderr } = spawnSync(process.execPath, [join("scripts", "build.mjs")], {
    cwd: projectRoot,
    encoding: "utf8",
  });
  if (status !== 0) throw new Error(`The command line does not build:\n${stderr}`);
}
