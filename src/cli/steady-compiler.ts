import { setFlagsFromString } from "node:v8";

/** The first release line of Node in which V8's middle compiler is on. */
const firstWithMiddleCompiler = 22;

/**
 * Turns V8's middle compiler (Maglev) off, for this process and its worker threads. With it, Node 24.21 gave in 4 of 46
 * runs all parts of a picture the place of its last one; without it in none of 22, and Node 20, which does not use it,
 * in none of 14. The same bytes must give the same numbers; the cost is some per cent of the time.
 */
export function steadyCompiler(nodeVersion: string = process.versions.node): void {
  if (Number(nodeVersion.split(".")[0]) >= firstWithMiddleCompiler) setFlagsFromString("--no-maglev");
}
