import { parse } from "csv-parse/sync";
import { CodesTableError } from "../contract/errors.ts";
import type { CodesRow } from "../contract/lot-codes.ts";
import { mostRows, readCodesRows } from "../contract/lot-codes.ts";
import { UsageError } from "./errors.ts";
import { readTextFile } from "./read-text-file.ts";

const delimiters = [",", ";", "\t"];

/**
 * The rows of a codes table: separated by commas, semicolons or tabs (whichever its first row has most of), cells
 * quoted or not.
 *
 * @throws UsageError when the file cannot be followed, with the reason
 */
export function readCodes(path: string): CodesRow[] {
  const text = readTextFile(path, "a table of codes");
  try {
    return readCodesRows(cellsOf(text));
  } catch (error) {
    if (error instanceof CodesTableError) throw new UsageError(`${path}: ${error.message}`, { cause: error });
    throw error;
  }
}

function cellsOf(whole: string): string[][] {
  // Some spreadsheets say their separator in a line before the head.
  const text = whole.replace(/^\ufeff?sep=.\r?\n/i, "");
  const [head] = text.split(/\r?\n|\r/, 1);
  const counts = delimiters.map((mark) => head.split(mark).length);
  const delimiter = delimiters[counts.indexOf(Math.max(...counts))];
  try {
    return parse(text, {
      delimiter,
      bom: true,
      relax_column_count: true,
      skip_empty_lines: false,
      max_record_size: 100_000,
      to: mostRows + 2,
    });
  } catch (error) {
    throw new CodesTableError(
      `expected cells separated by "${delimiter === "\t" ? "tab" : delimiter}", got: ${(error as Error).message}. See to quotes that are not closed.`,
      { cause: error },
    );
  }
}
