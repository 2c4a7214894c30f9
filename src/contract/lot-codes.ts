import { CodesTableError } from "./errors.ts";

/** One row of the codes table: what a person knows of one part, or of all parts of one picture. */
export interface CodesRow {
  /** Row of the table, 1 the head. */
  readonly row: number;
  /** Part id (`tray1.tif#3`) or picture. */
  readonly of: string;
  readonly code: string | null;
  readonly position: string | null;
  readonly view: string | null;
  readonly name: string | null;
  readonly sample: string | null;
}

/** What the table says of a part, apart from where it says so. */
export type PartCodes = Pick<CodesRow, "code" | "position" | "view" | "name" | "sample">;

/** A part of which nothing is known. */
export const noCodes: PartCodes = { code: null, position: null, view: null, name: null, sample: null };

const columns = ["part", "picture", "code", "position", "view", "name", "sample"] as const;
type Column = (typeof columns)[number];
/** Rows that a table may have. */
export const mostRows = 200_000;
const mostCharacters = 200;

/**
 * Rows from the cells of a codes table. The first row names the columns (any order, upper or lower case): `part` or
 * `picture`, and at least one of `code`, `position`, `view`, `name`, `sample`. Other columns are left alone. Rows without
 * any text are skipped.
 *
 * @throws CodesTableError when columns are missing or doubled, a cell is too long, or a part has two rows
 */
export function readCodesRows(cells: readonly (readonly string[])[]): CodesRow[] {
  const [head, ...body] = cells;
  if (head === undefined || head.every((cell) => cell.trim() === ""))
    throw new CodesTableError(
      "expected a first row that names the columns, got an empty file. Name part or picture, and code.",
    );
  if (body.length > mostRows)
    throw new CodesTableError(`expected at most ${mostRows} rows, got more. Give the rows of this lot only.`);
  const at = columnsOf(head);
  const rows: CodesRow[] = [];
  const seen = new Map<string, number>();
  body.forEach((line, index) => {
    const row = index + 2;
    const cell = (column: Column): string | null => {
      const text = line[at.get(column) ?? -1]?.trim() ?? "";
      if (text.length > mostCharacters)
        throw new CodesTableError(
          `expected at most ${mostCharacters} characters in "${column}", got ${text.length}. Shorten the cell.`,
          { row },
        );
      return text === "" ? null : text;
    };
    if (line.every((text) => text.trim() === "")) return;
    const of = cell("part") ?? cell("picture");
    if (of === null)
      throw new CodesTableError(
        "expected a part or a picture, got an empty cell. Name what the row is about.",
        { row },
      );
    const before = seen.get(of);
    if (before !== undefined)
      throw new CodesTableError(
        `"${of}" has a row already (row ${before}). Keep one row for each part or picture.`,
        { row },
      );
    seen.set(of, row);
    const [code, position, view, name, sample] = (
      ["code", "position", "view", "name", "sample"] as const
    ).map(cell);
    rows.push({ row, of, code, position, view, name, sample });
  });
  if (rows.length === 0)
    throw new CodesTableError("expected rows below the head, got none. Give a row for each part or picture.");
  return rows;
}

function columnsOf(head: readonly string[]): Map<Column, number> {
  const at = new Map<Column, number>();
  head.forEach((cell, index) => {
    const column = columns.find((known) => known === cell.trim().toLowerCase());
    if (column === undefined) return;
    if (at.has(column))
      throw new CodesTableError(`the column "${column}" stands there twice. Keep one.`, { row: 1 });
    at.set(column, index);
  });
  const got = head
    .map((cell) => `"${cell.trim().slice(0, 30)}"`)
    .slice(0, 10)
    .join(", ");
  if (!at.has("part") && !at.has("picture"))
    throw new CodesTableError(
      `expected a column "part" or "picture", got ${got}. Name the column in the first row.`,
      { row: 1 },
    );
  if (at.size - Number(at.has("part")) - Number(at.has("picture")) === 0)
    throw new CodesTableError(
      `expected a column "code" (or position, view, name, sample), got ${got}. Name the column in the first row.`,
      { row: 1 },
    );
  return at;
}

/** The table brought onto the pictures of a lot. */
export interface LotCodes {
  /** What is known of a part by its id, once it was found. */
  readonly of: (part: { readonly id: string; readonly picture: string }) => PartCodes;
  /** View of a picture; null when none was given. */
  readonly viewOf: (picture: string) => string | null;
  /** Views in order of appearance; empty when none are given. */
  readonly views: readonly string[];
  /** @throws CodesTableError when a row names a part that was not found in its picture */
  readonly requireFound: (parts: readonly { readonly id: string; readonly picture: string }[]) => void;
}

/**
 * Brings rows onto pictures, before any is read. A picture is named by its path as given, or by the end of it
 * (`tray1.tif`) where only one picture ends so. A row of a part wins over a row of its picture, cell by cell.
 *
 * @param pictures all pictures given, read or not
 * @throws CodesTableError when a row's picture is none of them, or views are given by halves
 */
export function lotCodes(rows: readonly CodesRow[], pictures: readonly string[]): LotCodes {
  const placed = rows.map((row) => ({ row, ...placeOf(row.of, pictures) }));
  const unknown = placed.filter(({ picture }) => picture === null);
  if (unknown.length > 0)
    throw unknownPictures(
      unknown.map(({ row }) => row),
      pictures,
    );
  const byPicture = new Map<string, CodesRow>();
  const byPart = new Map<string, CodesRow>();
  for (const { row, picture, number } of placed) {
    const key = number === null ? (picture as string) : `${picture}#${number}`;
    const target = number === null ? byPicture : byPart;
    const before = target.get(key);
    if (before !== undefined)
      throw new CodesTableError(
        `"${row.of}" and "${before.of}" (row ${before.row}) are the same. Keep one row.`,
        { row: row.row },
      );
    target.set(key, row);
  }
  const partRow = ({ id, picture }: { id: string; picture: string }) =>
    byPart.get(id) ?? (id === picture ? byPart.get(`${picture}#1`) : undefined);
  const viewOf = viewsOf(placed, pictures);
  const views = [...new Set(pictures.map(viewOf).filter((view) => view !== null))];
  return {
    of: (part) => {
      const [own, whole] = [partRow(part), byPicture.get(part.picture)];
      const cell = (name: keyof PartCodes) => own?.[name] ?? whole?.[name] ?? null;
      return {
        code: cell("code"),
        position: cell("position"),
        view: viewOf(part.picture),
        name: cell("name"),
        sample: cell("sample"),
      };
    },
    viewOf,
    views,
    requireFound: (parts) => requireFound(placed, parts),
  };
}

interface Placed {
  readonly row: CodesRow;
  readonly picture: string | null;
  readonly number: number | null;
}

function placeOf(
  name: string,
  pictures: readonly string[],
): { picture: string | null; number: number | null } {
  const whole = pictureNamed(name, pictures);
  if (whole !== null) return { picture: whole, number: null };
  const match = /^(.*)#(\d{1,6})$/s.exec(name);
  if (match === null) return { picture: null, number: null };
  return { picture: pictureNamed(match[1], pictures), number: Number(match[2]) };
}

function pictureNamed(name: string, pictures: readonly string[]): string | null {
  if (pictures.includes(name)) return name;
  const plain = (path: string) => path.replaceAll("\\", "/").replace(/^\.\//, "");
  const ending = plain(name);
  const ends = pictures.filter(
    (picture) => plain(picture) === ending || plain(picture).endsWith(`/${ending}`),
  );
  return ends.length === 1 ? ends[0] : null;
}

function unknownPictures(rows: readonly CodesRow[], pictures: readonly string[]): CodesTableError {
  const few = (names: readonly string[]) =>
    names.slice(0, 5).join(", ") + (names.length > 5 ? ` and ${names.length - 5} more` : "");
  return new CodesTableError(
    `no one picture is named by ${few(rows.map(({ of }) => `"${of}"`))}. The pictures given are ${few(pictures)}. ` +
      "Name pictures as they were given, or by their file names where these differ; parts as picture#number.",
    { row: rows[0].row },
  );
}

function viewsOf(placed: readonly Placed[], pictures: readonly string[]): (picture: string) => string | null {
  const views = new Map<string, CodesRow>();
  for (const { row, picture } of placed) {
    if (row.view === null || picture === null) continue;
    const before = views.get(picture);
    if (before !== undefined && before.view !== row.view)
      throw new CodesTableError(
        `${picture} is said to be view "${row.view}" and, in row ${before.row}, "${before.view}". A picture shows one view.`,
        { row: row.row },
      );
    views.set(picture, row);
  }
  if (views.size > 0) {
    const without = pictures.find((picture) => !views.has(picture));
    if (without !== undefined)
      throw new CodesTableError(
        `views are given for some pictures and none for ${without}. Give each picture its view, or none.`,
      );
    const several = new Set([...views.values()].map(({ view }) => view)).size > 1;
    const unnamed = placed.find(
      ({ row, picture }) => row.name === null && views.get(picture ?? "") !== undefined,
    );
    if (several && unnamed !== undefined)
      throw new CodesTableError(
        `"${unnamed.row.of}" has no name. With two views give each part the same name in both (column "name").`,
        { row: unnamed.row.row },
      );
  }
  return (picture) => views.get(picture)?.view ?? null;
}

function requireFound(
  placed: readonly Placed[],
  parts: readonly { readonly id: string; readonly picture: string }[],
): void {
  const found = new Map<string, number>();
  for (const { picture } of parts) found.set(picture, (found.get(picture) ?? 0) + 1);
  for (const { row, picture, number } of placed) {
    const many = found.get(picture ?? "");
    // Pictures that were not read, or hold no part, are told of elsewhere.
    if (number === null || many === undefined || (number >= 1 && number <= many)) continue;
    throw new CodesTableError(
      `"${row.of}" was not found: ${picture} shows ${many === 1 ? "1 part" : `${many} parts`}, numbered in reading order from 1. Correct the number.`,
      { row: row.row },
    );
  }
}
