import type { OutcomeSum } from "../../src/simulate/sum-outcomes.ts";
import { sumOutcomes } from "../../src/simulate/sum-outcomes.ts";
import type { CountedShare } from "../../src/statistics/exact-interval.ts";
import { countedShare } from "../../src/statistics/exact-interval.ts";
import type { StudiedLength, StudyFailure, StudyRecord } from "./study-record.ts";

/** How right the lots of one row were. */
export type StudyRow = OutcomeSum & { readonly name: string };

/** Wires by truth contrast-to-noise. */
export interface WireRow {
  readonly fromCnr: number;
  readonly right: CountedShare;
  readonly wrong: number;
  readonly open: number;
  readonly untold: number;
}

/** Stated uncertainty of die sizes against their errors. */
export interface CoverageRow {
  readonly name: string;
  readonly covered: CountedShare;
  /** Mean error, px: measured less true. */
  readonly biasPx: number;
  /** Mean of U, px and percent of the true length. */
  readonly meanUPx: number;
  readonly meanUPercent: number;
  readonly unmeasured: number;
}

/** A study, summed up. */
export interface StudySummary {
  readonly rows: Readonly<Record<string, readonly StudyRow[]>>;
  readonly wires: Readonly<Record<string, readonly WireRow[]>>;
  readonly coverage: Readonly<Record<string, readonly CoverageRow[]>>;
  readonly seconds: { readonly render: number; readonly inspect: number; readonly most: number };
  readonly failed: readonly string[];
}

/** Sums up the lots of a study. */
export function studySummary(results: readonly (StudyRecord | StudyFailure)[]): StudySummary {
  const records = results.filter((one): one is StudyRecord => "outcome" in one);
  const failures = results.filter((one): one is StudyFailure => "failed" in one);
  const of = (series: string) => records.filter(({ task }) => task.series === series);
  const by = (own: readonly StudyRecord[], key: "kind" | "package") =>
    [...new Set(own.map(({ task }) => task[key]))].map((name) =>
      rowOf(name, own.filter(({ task }) => task[key] === name)),
    ); // biome-ignore format: one row each
  const [fault, nul, independent] = [of("fault"), of("null"), of("independent")];
  const withTotal = (rows: StudyRow[], own: readonly StudyRecord[]) => [...rows, rowOf("all", own)];
  const own = [...fault, ...nul];
  const packages = [...new Set(own.map(({ task }) => task.package))];
  const series = {
    "own lots": own,
    ...Object.fromEntries(
      packages.map((name) => [`own ${name}`, own.filter(({ task }) => task.package === name)]),
    ),
    "independent simulator": independent,
  };
  return {
    rows: {
      "faults, by kind": withTotal(by(fault, "kind"), fault),
      "faults, by package": by(fault, "package"),
      "null lots, by way to lie": withTotal(by(nul, "kind"), nul),
      "null lots, by package": by(nul, "package"),
      "independent simulator": withTotal(by(independent, "kind"), independent),
    },
    wires: Object.fromEntries(Object.entries(series).map(([name, own]) => [name, wireRows(own)])),
    coverage: Object.fromEntries(Object.entries(series).map(([name, own]) => [name, coverageRows(own)])),
    seconds: {
      render: mean(own.map((r) => r.renderSeconds)),
      inspect: mean(own.map((r) => r.inspectSeconds)),
      most: Math.max(0, ...own.map((r) => r.inspectSeconds)),
    },
    failed: failures.map(
      ({ task, failed }) => `${task.id} ${task.package} ${task.kind}: ${failed.split("\n")[0]}`,
    ),
  };
}

function rowOf(name: string, records: readonly StudyRecord[]): StudyRow {
  return { name, ...sumOutcomes(records.map(({ outcome }) => outcome)) };
}

function wireRows(records: readonly StudyRecord[]): WireRow[] {
  const bands = [...new Set(records.flatMap((r) => r.wires.map((w) => w.fromCnr)))].sort((a, b) => a - b);
  const row = (fromCnr: number, own: StudyRecord["wires"]): WireRow => {
    const sum = (of: "leads" | "right" | "wrong" | "open" | "untold") =>
      own.reduce((total, w) => total + w[of], 0);
    return {
      fromCnr,
      right: countedShare(sum("right"), sum("leads")),
      wrong: sum("wrong"),
      open: sum("open"),
      untold: sum("untold"),
    };
  };
  return bands.map((band) =>
    row(
      band,
      records.flatMap((r) => r.wires.filter((w) => w.fromCnr === band)),
    ),
  );
}

function coverageRows(records: readonly StudyRecord[]): CoverageRow[] {
  return (["dieLength", "dieWidth"] as const).map((name) => {
    const own: StudiedLength[] = records.flatMap((r) => r[name]);
    const dies = records.reduce((total, r) => total + r.dies, 0);
    const covered = own.filter((e) => Math.abs(e.errorPx) <= e.expandedPx).length;
    return {
      name,
      covered: countedShare(covered, own.length),
      biasPx: mean(own.map((e) => e.errorPx)),
      meanUPx: mean(own.map((e) => e.expandedPx)),
      meanUPercent: mean(own.map((e) => (100 * e.expandedPx) / e.truePx)),
      unmeasured: dies - own.length,
    };
  });
}

function mean(values: readonly number[]): number {
  return values.length ? values.reduce((a, b) => a + b, 0) / values.length : 0;
}

/** The summary as text tables, one a heading. */
export function summaryText(summary: StudySummary): string {
  const lines: string[] = [];
  for (const [heading, rows] of Object.entries(summary.rows)) {
    if (!rows.some((row) => row.lots)) continue;
    lines.push("", heading);
    lines.push(
      [
        "".padEnd(22),
        "lots",
        "parts",
        "odd parts found",
        "falsely suspect",
        "falsely called",
        "lots split",
        "lots with false suspect",
        "lots with anything false",
        "lots told apart",
        "not judged",
      ].join(" | "),
    );
    for (const row of rows)
      lines.push(
        [
          row.name.padEnd(22),
          row.lots,
          row.parts,
          ...[
            row.detected,
            row.falselySuspect,
            row.falselyCalled,
            row.falselySplit,
            row.withFalseSuspect,
            row.anythingFalse,
            row.toldApart,
            row.notJudged,
          ].map(shareText),
        ].join(" | "),
      );
  }
  for (const [name, rows] of Object.entries(summary.wires)) {
    for (const { fromCnr, right, wrong, open, untold } of rows)
      lines.push(
        `wires of ${name}, truth contrast-to-noise from ${fromCnr}: right ${shareText(right)}; wrong ${wrong}, open ${open}, untold ${untold}`,
      );
  }
  for (const [name, rows] of Object.entries(summary.coverage))
    for (const row of rows.filter(({ covered }) => covered.of > 0))
      lines.push(
        `${row.name} of ${name}: in U ${shareText(row.covered)}, bias ${row.biasPx.toFixed(2)} px, mean U ${row.meanUPx.toFixed(2)} px, ${row.meanUPercent.toFixed(2)} %; not measured ${row.unmeasured}`,
      );
  const { render, inspect, most } = summary.seconds;
  lines.push(
    `processor seconds a lot: draw ${render.toFixed(2)}, inspect ${inspect.toFixed(2)} (most ${most.toFixed(2)})`,
  );
  if (summary.failed.length) lines.push("failed:", ...summary.failed);
  return lines.join("\n").trim();
}

/** "3/40 7.5 % (1.6-20.4)", or "-" where nothing was counted. */
function shareText({ count, of, share, low, high }: CountedShare): string {
  if (share === null || low === null || high === null) return "-";
  const percent = (value: number) => (100 * value).toFixed(1);
  return `${count}/${of} ${percent(share)} % (${percent(low)}-${percent(high)})`;
}
