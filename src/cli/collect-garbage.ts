import { setFlagsFromString } from "node:v8";
import { runInNewContext } from "node:vm";

/**
 * Lets go of memory that nothing refers to any more. Pictures lie in shared memory, which weighs nothing on a thread's
 * own heap: left to itself a thread that holds the last reference to them may not look for a long time.
 */
export function garbageCollector(): () => void {
  setFlagsFromString("--expose-gc");
  return runInNewContext("gc") as () => void;
}
