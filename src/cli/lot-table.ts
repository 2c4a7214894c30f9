import { commonFolder, inFolder } from "../contract/common-folder.ts";
import type { LotDocument } from "../contract/lot-document.ts";
import { printable } from "../contract/printable.ts";
import { calibrationSays } from "../judgement/calibration.ts";
import { groupMeasurement } from "../judgement/group-measurements.ts";
import { conclusionTitle, identityText } from "../judgement/lot-wording.ts";
import {
  characteristicText,
  measuredNumberText,
  measuredText,
  noNumberText,
  sizeText,
  unitText,
} from "../judgement/measured-text.ts";
import type { TextColumn } from "./text-table.ts";
import { textTable, wrapText } from "./text-table.ts";

/** How the table is to be drawn. */
export interface LotTableStyle {
  /** Width of the terminal, characters. */
  readonly columns: number;
  /** True only on a terminal that shows colour; nothing is said by colour alone. */
  readonly colour: boolean;
}

type Paint = (text: string) => string;

const longestList = 40;
const mostCodes = 4;
const mostCalls = 4;

/** The conclusion of a lot as text for a terminal: conclusion, groups, suspects, measurements, limits, files. */
export function lotTable(document: LotDocument, { columns, colour }: LotTableStyle): string {
  const bold: Paint = colour ? (text) => `\x1b[1m${text}\x1b[22m` : (text) => text;
  const dim: Paint = colour ? (text) => `\x1b[2m${text}\x1b[22m` : (text) => text;
  const table = (heads: readonly TextColumn[], rows: readonly (readonly string[])[]) =>
    textTable(
      heads,
      rows.map((row) => row.map(printable)),
      columns,
      dim,
    );
  const prose = (text: string) => wrapText(printable(text), columns).join("\n");
  const folder = commonFolder(document.pictures.map(({ picture }) => picture));
  const sections = [
    headline(document, bold, prose),
    warnings(document, bold, prose),
    groups(document, table),
    folder === "" ? "" : prose(`Pictures are in ${folder}`),
    suspects(document, table, folder),
    measurements(document, table),
    compared(document, table),
    notAssessable(document, table, folder),
    files(document, table, prose),
    listed("Next", document.next, prose),
    listed("Questions for the maker", document.questions, prose),
    document.remarks.length ? prose(document.remarks.join(" ")) : "",
    prose(document.assurance),
    prose("A radiograph alone never proves a part authentic."),
  ];
  return `${sections.filter((section) => section !== "").join("\n\n")}\n`;
}

type DrawTable = (heads: readonly TextColumn[], rows: readonly (readonly string[])[]) => string;

function headline(document: LotDocument, bold: Paint, prose: Paint): string {
  const { parts, pictures, suspects, lotSuspect, physicalParts } = document;
  const judged = parts.filter(({ assessable }) => assessable).length;
  const inViews = physicalParts.length
    ? `${count(physicalParts.length, "part")} in ${document.views.length} views, `
    : "";
  const counts = `${inViews}${count(parts.length, physicalParts.length ? "image" : "part")} found in ${count(pictures.length, "picture")}, ${judged} judged`;
  const title = `${conclusionTitle(document.conclusion, suspects.length, document.questions.length > 0).toUpperCase()}   ${counts}`;
  const lines = [bold(prose(title)), prose(document.says)];
  if (lotSuspect.value) lines.push(prose(`The lot is suspect: ${lotSuspect.because}`));
  else if (document.groups.length > 1) lines.push(prose(lotSuspect.because));
  return lines.join("\n");
}

/** What must not be overlooked, before anything else. */
function warnings({ job, run, overruled, steps }: LotDocument, bold: Paint, prose: Paint): string {
  const due = calibrationSays(job?.instrument?.calibrationDue, run.startedAt);
  return [
    ...(due.overdue ? [bold(prose(`${job?.instrument?.id}: ${due.says}.`))] : []),
    ...overruled.map((text) => prose(`Job file overruled. ${text}`)),
    ...steps.map(({ step, at, by, because }) =>
      prose(`${step} ${at}${by === null ? "" : ` by ${by}`}: ${because}`),
    ),
  ].join("\n");
}

function listed(title: string, texts: readonly string[], prose: Paint): string {
  if (texts.length === 0) return "";
  return [`${title}:`, ...texts.map((text) => prose(`- ${text}`))].join("\n");
}

function callsText(calls: LotDocument["parts"][number]["calls"]): string {
  const left = calls.length - mostCalls;
  const shown = calls.slice(0, mostCalls).map(({ kind, says }) => `${kind}: ${says}`);
  return shown.join("; ") + (left > 0 ? `; and ${left} more in the document` : "");
}

/** "2401 (20), 2433 (3)": the codes of a group's parts. */
function codesText(parts: LotDocument["parts"]): string {
  const counts = new Map<string, number>();
  for (const { code } of parts) counts.set(code ?? "none", (counts.get(code ?? "none") ?? 0) + 1);
  const shown = [...counts].slice(0, mostCodes).map(([code, number]) => `${code} (${number})`);
  return shown.join(", ") + (counts.size > mostCodes ? ", ..." : "");
}

function groups({ groups, parts }: LotDocument, table: DrawTable): string {
  if (groups.length === 0) return "";
  const coded = parts.some(({ code }) => code !== null);
  const rows = groups.map((group) => [
    group.name,
    String(group.size),
    ...(coded ? [codesText(parts.filter((part) => part.group === group.name))] : []),
    identityText(group.againstExemplar),
    group.differsFrom
      .map(({ group: other, because }) => {
        const reasons = because.map(
          ({ measurement, by }) => `${characteristicText(measurement)} by ${measuredText(by)}`,
        );
        return `from ${other}: ${reasons.join(", ")}`;
      })
      .join("; "),
  ]);
  const heads: TextColumn[] = [
    { title: "group" },
    { title: "parts", align: "right" },
    ...(coded ? [{ title: "codes" }] : []),
    { title: "exemplar" },
    { title: "differs", wraps: true },
  ];
  return table(heads, rows);
}

function suspects({ parts, suspects }: LotDocument, table: DrawTable, folder: string): string {
  if (suspects.length === 0) return "No part is named suspect.";
  const wanted = new Set(suspects);
  const named = parts.some(({ name }) => name !== null);
  const coded = parts.some(({ code }) => code !== null);
  const placed = parts.some(({ position }) => position !== null);
  const rows = parts
    .filter(({ id }) => wanted.has(id))
    .sort((a, b) => b.oddness - a.oddness)
    .map((part) => [
      inFolder(part.id, folder),
      ...(named ? [part.name ?? "-"] : []),
      ...(coded ? [part.code ?? "-"] : []),
      ...(placed ? [part.position ?? "-"] : []),
      part.group ?? "-",
      part.oddness.toFixed(1),
      part.calls.length === 0 ? "belongs to a minority group" : callsText(part.calls),
    ]);
  const heads: TextColumn[] = [
    { title: "suspect" },
    ...(named ? [{ title: "name" }] : []),
    ...(coded ? [{ title: "code" }] : []),
    ...(placed ? [{ title: "position", align: "right" as const }] : []),
    { title: "group" },
    { title: "x limit", align: "right" },
    { title: "because", wraps: true },
  ];
  return table(heads, shortened(rows, "suspects"));
}

function measurements({ parts, groups }: LotDocument, table: DrawTable): string {
  const shownGroups = groups.slice(0, 4);
  const names = [...new Set(parts.flatMap((part) => Object.keys(part.measurements)))];
  const rows = names.flatMap((name) => {
    const cells = shownGroups.map((group) => {
      const members = parts.filter((part) => part.group === group.name);
      return groupMeasurement(members.flatMap((part) => part.measurements[name] ?? []));
    });
    const unit = cells.find((cell) => cell.median !== null)?.unit;
    if (unit === undefined) return [];
    return [[characteristicText(name), ...cells.map(groupCell), unitText(unit)]];
  });
  if (rows.length === 0) return "";
  const heads: TextColumn[] = [
    { title: "median ± U (k = 2)" },
    ...shownGroups.map(({ name }): TextColumn => ({ title: `group ${name}`, align: "right" })),
    { title: "" },
  ];
  return table(heads, rows);
}

function groupCell(cell: ReturnType<typeof groupMeasurement>): string {
  if (cell.median === null) return noNumberText(cell.because);
  return measuredNumberText({ value: cell.median, U: cell.U, k: 2, unit: cell.unit });
}

function compared({ compared }: LotDocument, table: DrawTable): string {
  if (compared.length === 0) return "Nothing was compared.";
  const rows = compared.map(({ characteristic, assessable, because, smallestDetectable }) => [
    characteristicText(characteristic),
    assessable ? sizeText(smallestDetectable) : "not assessable",
    because,
  ]);
  const heads: TextColumn[] = [
    { title: "compared" },
    { title: "finds from" },
    { title: "how, or why not", wraps: true },
  ];
  return table(heads, rows);
}

function notAssessable({ parts }: LotDocument, table: DrawTable, folder: string): string {
  const rows = parts
    .filter(({ assessable }) => !assessable)
    .map(({ id, because }) => [inFolder(id, folder), because ?? "no reason recorded"]);
  if (rows.length === 0) return "";
  return table([{ title: "part not judged" }, { title: "because", wraps: true }], shortened(rows, "parts"));
}

function files({ pictures, unreadable, ignored }: LotDocument, table: DrawTable, prose: Paint): string {
  const line = prose(
    `Files: ${pictures.length} read, ${unreadable.length} unreadable, ${ignored.length} left out on purpose.`,
  );
  const rows = [
    ...unreadable.map(({ picture, reason }) => [picture, `unreadable: ${reason}`]),
    ...ignored.map(({ picture, because }) => [picture, `left out: ${because}`]),
  ];
  if (rows.length === 0) return line;
  return `${line}\n${table([{ title: "file" }, { title: "because", wraps: true }], shortened(rows, "files"))}`;
}

function shortened(rows: string[][], noun: string): string[][] {
  if (rows.length <= longestList) return rows;
  return [...rows.slice(0, longestList), [`... ${rows.length - longestList} more ${noun} in the document`]];
}

function count(number: number, noun: string): string {
  return `${number} ${noun}${number === 1 ? "" : "s"}`;
}
