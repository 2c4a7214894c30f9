import type { BenchCase } from "./bench-case.ts";
import { endToEnd } from "./end-to-end.bench.ts";
import { filters } from "./filters.bench.ts";
import { geometry } from "./geometry.bench.ts";
import { regions } from "./regions.bench.ts";

/** Everything `npm run bench` times, in the order of the table. */
export const cases: readonly BenchCase[] = [...filters, ...geometry, ...regions, ...endToEnd];
