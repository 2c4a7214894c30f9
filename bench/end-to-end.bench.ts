import type { BenchCase } from "./bench-case.ts";
import { finding } from "./finding.bench.ts";
import { lots } from "./lot.bench.ts";
import { registration } from "./registration.bench.ts";

/**
 * Whole steps and jobs: registration, part finding, a lot of 40. To add one:
 *
 * 1. add `{ name, setup, sizes: ["1700x1272"] }` to one of these lists. `setup(input)` makes or reads its pictures,
 *    writes what the reference needs into `input.folder` (raw arrays, JSON, or picture files), and returns the
 *    function to be timed;
 * 2. add a function of the same name to REFERENCES in bench/reference.py: it gets the folder and the input, prepares,
 *    and returns a function doing the same steps with OpenCV and scipy;
 * 3. give it `agree`, which compares what both found, and a `note` saying where the reference does less or more.
 *
 * A case without a reference is timed all the same and says so in the table.
 */
export const endToEnd: BenchCase[] = [...registration, ...finding, ...lots];
