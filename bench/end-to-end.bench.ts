import type { BenchCase } from "./bench-case.ts";

/**
 * Whole steps and jobs: a lot of 40, registration, part finding. To add one:
 *
 * 1. add `{ name, setup, sizes: ["1700x1272"], runs: 3 }` here. `setup(input)` makes or reads its pictures, writes what
 *    the reference needs into `input.folder` (raw arrays, or picture files), and returns the function to be timed;
 * 2. add a function of the same name to REFERENCES in bench/reference.py: it gets the folder and the input, prepares,
 *    and returns a function doing the same steps with OpenCV and scipy.
 *
 * A case without a reference is timed all the same and says so in the table.
 */
export const endToEnd: BenchCase[] = [];
