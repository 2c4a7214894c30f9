import type { OwnProcessResult } from "./bench-case.ts";

/** One line of the table; times are medians in milliseconds, `least` the smallest of ours and of the one-thread reference. */
export interface Row {
  readonly name: string;
  readonly size: string;
  readonly ms: number;
  readonly plainMs: number | null;
  readonly referenceMs: number | null;
  readonly referenceTwoThreadsMs: number | null;
  readonly least: { readonly ms: number; readonly referenceMs: number | null };
  readonly all: {
    readonly ms: readonly number[];
    readonly reference: readonly number[];
    readonly referenceTwoThreads: readonly number[];
  };
  /** Whether both sides found the same; null where it was not compared. */
  readonly agreement: { readonly agrees: boolean; readonly says: string } | null;
  /** Of jobs in a process of their own: what each side took. */
  readonly took: { readonly ours: OwnProcessResult; readonly reference: OwnProcessResult | null } | null;
  readonly note: string | null;
}

/** The middle of some times, null without any. */
export function medianOf(times: readonly number[]): number | null {
  if (times.length === 0) return null;
  const sorted = [...times].sort((p, q) => p - q);
  return sorted[sorted.length >> 1];
}

const number = (value: number | null) => (value === null ? "-" : value.toFixed(value < 10 ? 2 : 1));
const ratio = (reference: number | null, ms: number) =>
  reference === null ? "-" : (reference / ms).toFixed(2);

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
  "agrees",
];

/** All rows, lined up. */
export function tableOf(rows: readonly Row[]): string {
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
    row.agreement === null ? "-" : row.agreement.agrees ? "yes" : "NO",
  ]);
  return linedUp([heads, ...lines], 2);
}

function linedUp(lines: readonly (readonly string[])[], left: number): string {
  const widths = lines[0].map((_, k) => Math.max(...lines.map((line) => line[k].length)));
  return lines
    .map((line) =>
      line.map((cell, k) => (k < left ? cell.padEnd(widths[k]) : cell.padStart(widths[k]))).join("  "),
    )
    .join("\n");
}

/** Seconds, processor seconds and memory of the last run of the jobs that had a process of their own. */
export function jobsOf(rows: readonly Row[]): string {
  const cells = (side: OwnProcessResult | null) =>
    side === null
      ? ["-", "-", "-"]
      : [(side.ms / 1000).toFixed(1), (side.cpuMs / 1000).toFixed(1), side.peakMiB.toFixed(0)];
  const lines = rows.flatMap(({ name, took }) => {
    if (took === null) return [];
    const { ours, reference } = took;
    return [[name, ...cells(ours), ...cells(reference), ratio(reference?.cpuMs ?? null, ours.cpuMs)]];
  });
  if (lines.length === 0) return "";
  const head = [
    "job, from cold",
    "s",
    "cpu s",
    "peak MiB",
    "reference s",
    "cpu s",
    "peak MiB",
    "times less cpu",
  ];
  return `${linedUp([head, ...lines], 1)}\n\n`;
}

/** What the results were found to agree on, and where the reference does less or more. */
export function agreementsOf(rows: readonly Row[]): string {
  return rows
    .filter((row) => row.agreement !== null || row.note !== null)
    .map((row) => {
      const { agreement } = row;
      const says = agreement === null ? "not compared" : `${agreement.agrees ? "" : "NO: "}${agreement.says}`;
      return `${row.name} (${row.size}): ${says}${row.note === null ? "" : `\n    ${row.note}`}\n`;
    })
    .join("");
}
