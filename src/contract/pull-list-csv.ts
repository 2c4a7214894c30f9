import type { PullListEntry } from "../judgement/pull-list.ts";

const head = [
  "pulled",
  "position",
  "picture",
  "number in picture",
  "parts in picture",
  "x px",
  "y px",
  "code",
  "name",
  "reason",
  "part",
];

/**
 * The pull list as CSV (RFC 4180, UTF-8 with byte order mark so that spreadsheets read it as such). Numbers are whole, so
 * no decimal comma is at stake. Texts that a spreadsheet would take for a formula begin with an apostrophe.
 */
export function pullListCsv(entries: readonly PullListEntry[]): string {
  const rows = entries.map((entry) => [
    "",
    entry.position ?? "",
    entry.picture,
    String(entry.numberInPicture),
    String(entry.partsInPicture),
    String(entry.centrePx[0]),
    String(entry.centrePx[1]),
    entry.code ?? "",
    entry.name ?? "",
    entry.because,
    entry.part,
  ]);
  return `\ufeff${[head, ...rows].map((row) => `${row.map(csvCell).join(",")}\r\n`).join("")}`;
}

/**
 * A cell that is safe in a spreadsheet: text that begins with = + - @ or a control character, after spaces too, gets an
 * apostrophe before it, except for plain numbers. Quoted where separators, quotes or line breaks ask for it.
 */
export function csvCell(text: string): string {
  const plainNumber = /^[+-]?\d+([.,]\d+)?$/.test(text);
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for.
  const acts = /^[\s\u0000-\u001f]*[=+\-@\uff1d\uff0b\uff0d\uff20|%]/.test(text) || /^[\t\r\n]/.test(text);
  const safe = acts && !plainNumber ? `'${text}` : text;
  return /[",;\t\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}
