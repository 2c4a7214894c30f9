import { mkdirSync, writeFileSync } from "node:fs";
import { cpus } from "node:os";
import path from "node:path";
import type { Agreement, BenchCase, BenchInput, BenchSize, OwnProcessResult } from "./bench-case.ts";
import { benchSizes } from "./bench-case.ts";
import { cases } from "./cases.ts";
import { benchInput } from "./input.ts";
import { kernelAgreement } from "./kernel-agreement.ts";
import type { LotExtent } from "./lot-job.ts";
import { lotJob } from "./lot-job.ts";
import { referenceMissing, referenceOf, runReference } from "./reference-process.ts";
import type { Row } from "./row.ts";
import { agreementsOf, jobsOf, medianOf, tableOf } from "./row.ts";

interface Options {
  readonly root: string;
  readonly runs: number;
  readonly rounds: number;
  readonly only: string | undefined;
  readonly size: string | undefined;
  readonly plain: boolean;
  /** Everything once, to see that it works: long references with one thread only. */
  readonly once: boolean;
}

/** What was timed of one case, over all rounds. */
interface Timed {
  readonly bench: BenchCase;
  readonly run: () => unknown;
  readonly ours: number[];
  readonly reference: readonly [oneThread: number[], twoThreads: number[]];
  last: unknown;
  found: unknown;
}

function options(argv: readonly string[]): Options {
  const value = (name: string) => {
    const at = argv.indexOf(name);
    return at < 0 ? undefined : argv[at + 1];
  };
  const once = argv.includes("--once");
  return {
    root: process.cwd(),
    runs: Number(value("--runs") ?? (once ? 1 : 7)),
    rounds: Number(value("--rounds") ?? (once ? 1 : 2)),
    only: value("--only"),
    size: value("--size") ?? (once ? "1700x1272" : undefined),
    plain: argv.includes("--plain"),
    once,
  };
}

function timed(run: () => unknown, runs: number, warm: number): { times: number[]; last: unknown } {
  let last: unknown;
  for (let i = 0; i < warm; i++) run();
  const times = Array.from({ length: runs }, () => {
    const start = performance.now();
    last = run();
    return performance.now() - start;
  });
  return { times, last };
}

function timeOurs(one: Timed, opt: Options, round: number): void {
  if (one.bench.ownProcess) {
    one.last = one.run();
    one.ours.push((one.last as OwnProcessResult).ms);
    return;
  }
  const { times, last } = timed(one.run, one.bench.runs ?? opt.runs, round === 0 ? 2 : 1);
  one.ours.push(...times);
  one.last = last;
}

/** The references of short steps share a Python process; a job has one of its own. */
function timeReferences(all: readonly Timed[], input: BenchInput, opt: Options): Record<string, string> {
  let versions = {};
  const short = all.filter((one) => !one.bench.ownProcess);
  const jobs = new Map(all.filter((one) => one.bench.ownProcess).map((one) => [referenceOf(one.bench), one]));
  const groups = [short, ...[...jobs.values()].map((one) => [one])].filter((group) => group.length > 0);
  for (const threads of [1, 2] as const) {
    for (const group of groups) {
      if (opt.once && threads === 2 && group !== short) continue;
      const answer = runReference(
        input,
        threads,
        group.map((one) => one.bench),
        opt.runs,
      );
      versions = answer.versions;
      for (const one of all) {
        const times = answer.times[referenceOf(one.bench)];
        if (times === undefined) continue;
        one.reference[threads - 1].push(...times);
        one.found = answer.found[referenceOf(one.bench)];
      }
    }
  }
  return versions;
}

function agreementOf({ bench, last, found }: Timed, input: BenchInput): Agreement | null {
  if (found === undefined || found === null) return null;
  return bench.agree ? bench.agree(last, found, input) : kernelAgreement(last, found);
}

function rowOf(one: Timed, input: BenchInput, opt: Options): Row {
  const { bench, ours } = one;
  const plain = opt.plain ? bench.plain?.(input) : undefined;
  const [single, double] = one.reference;
  return {
    name: bench.name,
    size: bench.agree ? "own" : input.size.name,
    ms: medianOf(ours) ?? Number.NaN,
    plainMs: plain === undefined ? null : medianOf(timed(plain, Math.min(3, opt.runs), 1).times),
    referenceMs: medianOf(single),
    referenceTwoThreadsMs: medianOf(double),
    least: { ms: Math.min(...ours), referenceMs: single.length === 0 ? null : Math.min(...single) },
    all: { ms: ours, reference: single, referenceTwoThreads: double },
    agreement: agreementOf(one, input),
    took: bench.ownProcess
      ? { ours: one.last as OwnProcessResult, reference: (one.found as OwnProcessResult | undefined) ?? null }
      : null,
    note: bench.note ?? null,
  };
}

const isWanted = (one: BenchCase, size: BenchSize, { only }: Options) =>
  (one.sizes?.includes(size.name) ?? true) && (only === undefined || one.name.includes(only));

function benchAtSize(size: BenchSize, opt: Options, python: boolean, skipped: string[]) {
  const named = cases.filter((one) => isWanted(one, size, opt));
  const wanted = named.filter((one) => {
    const missing = one.missing?.(opt.root) ?? null;
    if (missing !== null) skipped.push(`${one.name}: skipped, ${missing}`);
    return missing === null;
  });
  if (wanted.length === 0) return { rows: [], versions: {} };
  const input = benchInput(size, opt.root);
  const all = wanted.map(
    (bench): Timed => ({
      bench,
      run: bench.setup(input),
      ours: [],
      reference: [[], []],
      last: undefined,
      found: undefined,
    }),
  );
  let versions = {};
  for (let round = 0; round < opt.rounds; round++) {
    for (const one of all) timeOurs(one, opt, round);
    if (python) versions = timeReferences(all, input, opt);
  }
  return { rows: all.map((one) => rowOf(one, input, opt)), versions };
}

function main(argv: readonly string[]): void {
  const opt = options(argv);
  const missing = referenceMissing();
  const skipped: string[] = missing === null ? [] : [missing];
  const sizes = benchSizes.filter((size) => opt.size === undefined || size.name === opt.size);
  const parts = sizes.map((size) => benchAtSize(size, opt, missing === null, skipped));
  const rows = parts.flatMap((part) => part.rows);
  const versions = Object.assign({}, ...parts.map((part) => part.versions));
  const results = path.join(opt.root, "candler-out/bench/results.json");
  mkdirSync(path.dirname(results), { recursive: true });
  const host = { node: process.version, processor: cpus()[0]?.model ?? "unknown", cores: cpus().length };
  const document = { schema: "candler.bench/1", host, versions, skipped, rows };
  writeFileSync(results, `${JSON.stringify(document, null, 1)}\n`);
  process.stdout.write(`${tableOf(rows)}\n\n${jobsOf(rows)}${agreementsOf(rows)}\n`);
  const apart = rows.filter((row) => row.agreement?.agrees === false).map((row) => row.name);
  if (apart.length > 0) {
    process.stdout.write(
      `The two sides found something else, so their times say nothing: ${apart.join(", ")}\n`,
    );
  }
  for (const line of skipped) process.stdout.write(`${line}\n`);
  process.stdout.write(
    `Medians of ${opt.runs * opt.rounds} runs (jobs: ${opt.rounds}); above 1 we are faster. Written to ${path.relative(opt.root, results)}\n`,
  );
}

const [command, extent, ...files] = process.argv.slice(2);
if (command === "--lot-job") {
  process.stdout.write(JSON.stringify(await lotJob(extent as LotExtent, files)));
} else {
  main(process.argv.slice(2));
}
