import { execFileSync } from "node:child_process";
import { mkdirSync, writeFileSync } from "node:fs";
import { cpus } from "node:os";
import path from "node:path";
import type { BenchCase, BenchSize } from "./bench-case.ts";
import { benchSizes } from "./bench-case.ts";
import { cases } from "./cases.ts";
import { benchInput } from "./input.ts";

interface Options {
  readonly root: string;
  readonly runs: number;
  readonly rounds: number;
  readonly only: string | undefined;
  readonly size: string | undefined;
  readonly plain: boolean;
}

/** One line of the table; times are medians in milliseconds, `least` the smallest of ours and of the one-thread reference. */
interface Row {
  readonly name: string;
  readonly size: string;
  readonly ms: number;
  readonly plainMs: number | null;
  readonly referenceMs: number | null;
  readonly referenceTwoThreadsMs: number | null;
  readonly least: { readonly ms: number; readonly referenceMs: number | null };
  readonly all: {
    readonly ms: number[];
    readonly reference: number[];
    readonly referenceTwoThreads: number[];
  };
}

const PYTHON = process.env.CANDLER_PYTHON ?? "/usr/bin/python3";

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
  };
}

function medianOf(times: readonly number[]): number | null {
  if (times.length === 0) return null;
  const sorted = [...times].sort((p, q) => p - q);
  return sorted[sorted.length >> 1];
}

function timed(run: () => unknown, runs: number, warm: number): number[] {
  for (let i = 0; i < warm; i++) run();
  return Array.from({ length: runs }, () => {
    const start = performance.now();
    run();
    return performance.now() - start;
  });
}

/** Why the Python side cannot run, or null when it can. */
function referenceMissing(): string | null {
  try {
    execFileSync(PYTHON, ["-c", "import cv2, scipy, numpy"], { stdio: "pipe" });
    return null;
  } catch {
    return `reference: skipped, ${PYTHON} with cv2, scipy and numpy is not here (set CANDLER_PYTHON to one that has them)`;
  }
}

function referenceTimes(
  root: string,
  folder: string,
  size: BenchSize,
  threads: number,
  wanted: readonly BenchCase[],
  runs: number,
) {
  const request = wanted.map((one) => ({ name: one.name, runs: one.runs ?? runs }));
  const text = execFileSync(
    PYTHON,
    [
      path.join(root, "bench/reference.py"),
      folder,
      String(size.width),
      String(size.height),
      String(threads),
      JSON.stringify(request),
    ],
    { encoding: "utf8", maxBuffer: 1 << 26, stdio: ["ignore", "pipe", "inherit"] },
  );
  return JSON.parse(text) as { versions: Record<string, string>; times: Record<string, number[]> };
}

function benchAtSize(
  size: BenchSize,
  opt: Options,
  python: boolean,
  versions: Record<string, string>,
): Row[] {
  const wanted = cases.filter(
    (one) =>
      (one.sizes?.includes(size.name) ?? true) && (opt.only === undefined || one.name.includes(opt.only)),
  );
  if (wanted.length === 0) return [];
  const input = benchInput(size, path.join(opt.root, "candler-out/bench"));
  const prepared = wanted.map((one) => one.setup(input));
  const ours = wanted.map((): number[] => []);
  const reference: Record<string, number[]>[] = [{}, {}];
  for (let round = 0; round < opt.rounds; round++) {
    wanted.forEach((one, i) => {
      ours[i].push(...timed(prepared[i], one.runs ?? opt.runs, round === 0 ? 2 : 1));
    });
    if (!python) continue;
    for (const threads of [1, 2]) {
      const answer = referenceTimes(opt.root, input.folder, size, threads, wanted, opt.runs);
      Object.assign(versions, answer.versions);
      const into = reference[threads - 1];
      for (const [name, times] of Object.entries(answer.times))
        into[name] = [...(into[name] ?? []), ...times];
    }
  }
  return wanted.map((one, i) => {
    const plain = opt.plain ? one.plain?.(input) : undefined;
    const single = reference[0][one.name] ?? [];
    const double = reference[1][one.name] ?? [];
    return {
      name: one.name,
      size: size.name,
      ms: medianOf(ours[i]) ?? Number.NaN,
      plainMs: plain === undefined ? null : medianOf(timed(plain, Math.min(3, opt.runs), 1)),
      referenceMs: medianOf(single),
      referenceTwoThreadsMs: medianOf(double),
      least: { ms: Math.min(...ours[i]), referenceMs: single.length === 0 ? null : Math.min(...single) },
      all: { ms: ours[i], reference: single, referenceTwoThreads: double },
    };
  });
}

function tableOf(rows: readonly Row[]): string {
  const number = (value: number | null) => (value === null ? "-" : value.toFixed(value < 10 ? 2 : 1));
  const ratio = (reference: number | null, ms: number) =>
    reference === null ? "-" : (reference / ms).toFixed(2);
  const lines = rows.map((row) => [
    row.name,
    row.size,
    number(row.ms),
    number(row.referenceMs),
    ratio(row.referenceMs, row.ms),
    number(row.referenceTwoThreadsMs),
    ratio(row.referenceTwoThreadsMs, row.ms),
    number(row.least.ms),
    ratio(row.least.referenceMs, row.least.ms),
    number(row.plainMs),
  ]);
  const heads = [
    "step",
    "size",
    "ms",
    "reference ms",
    "times faster",
    "2 threads",
    "times faster",
    "least ms",
    "times faster",
    "plain ms",
  ];
  const widths = heads.map((head, k) => Math.max(head.length, ...lines.map((line) => line[k].length)));
  return [heads, ...lines]
    .map((line) =>
      line.map((cell, k) => (k < 2 ? cell.padEnd(widths[k]) : cell.padStart(widths[k]))).join("  "),
    )
    .join("\n");
}

const opt = options(process.argv.slice(2));
const missing = referenceMissing();
const versions: Record<string, string> = {};
const rows = benchSizes
  .filter((size) => opt.size === undefined || size.name === opt.size)
  .flatMap((size) => benchAtSize(size, opt, missing === null, versions));
const results = path.join(opt.root, "candler-out/bench/results.json");
mkdirSync(path.dirname(results), { recursive: true });
const host = { node: process.version, processor: cpus()[0]?.model ?? "unknown", cores: cpus().length };
writeFileSync(results, `${JSON.stringify({ schema: "candler.bench/1", host, versions, rows }, null, 1)}\n`);
process.stdout.write(`${tableOf(rows)}\n\n`);
if (missing !== null) process.stdout.write(`${missing}\n`);
process.stdout.write(
  `Medians of ${opt.runs * opt.rounds} runs; above 1 we are faster. Written to ${path.relative(opt.root, results)}\n`,
);
