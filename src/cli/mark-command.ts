import { parse } from "csv-parse/sync";
import { printable } from "../contract/printable.ts";
import { AnswersError } from "../simulate/errors.ts";
import type { AnswerRow, MarkedAnswers, TrainingTruth } from "../simulate/mark-answers.ts";
import { markAnswers } from "../simulate/mark-answers.ts";
import { answerColumns } from "../simulate/training-set.ts";
import type { CountedShare } from "../statistics/exact-interval.ts";
import { UsageError } from "./errors.ts";
import { readTextFile } from "./read-text-file.ts";

/**
 * Marks an answer sheet and says how well it did, as text.
 *
 * @throws UsageError when a file cannot be followed, with the reason
 */
export function markCommand(answersFile: string, truthFile: string): string {
  const truth = readTruth(truthFile);
  const rows = readAnswerSheet(answersFile);
  try {
    return markedText(markAnswers(rows, truth));
  } catch (error) {
    if (error instanceof AnswersError)
      throw new UsageError(`${answersFile}: ${error.message}`, { cause: error });
    throw error;
  }
}

/** Rows of a sheet with the columns part and answer, separated by commas or semicolons. */
function readAnswerSheet(path: string): AnswerRow[] {
  const text = readTextFile(path, "an answer sheet");
  const [head] = text.split(/\r?\n|\r/, 1);
  let rows: Record<string, string>[];
  try {
    rows = parse(text, {
      bom: true,
      columns: (names: string[]) => names.map((name) => name.trim().toLowerCase()),
      delimiter: head.includes(";") ? ";" : ",",
      skip_empty_lines: true,
      trim: true,
    });
  } catch (error) {
    throw new UsageError(`${path}: no table that can be read: ${(error as Error).message}.`, {
      cause: error,
    });
  }
  const missing = answerColumns.filter((name) => !rows.every((row) => typeof row[name] === "string"));
  if (!rows.length || missing.length)
    throw new UsageError(
      `${path}: expected a table with the columns ${answerColumns.join(" and ")}, got "${head}". Fill in the answers.csv of the training set.`,
    );
  return rows.map((row) => ({ part: row.part, answer: row.answer }));
}

function readTruth(path: string): TrainingTruth {
  const text = readTextFile(path, "the truth of a training set");
  try {
    const truth = JSON.parse(text) as TrainingTruth;
    if (
      Array.isArray(truth.expected.suspect_parts) &&
      truth.images.every((image) => Array.isArray(image.parts))
    )
      return truth;
  } catch (error) {
    throw new UsageError(notTruth(path), { cause: error });
  }
  throw new UsageError(notTruth(path));
}

function notTruth(path: string): string {
  return `${path} is no truth of a training set. Give the answers/truth.json that was written with the pictures.`;
}

function markedText({ parts, hits, falseCalls, missed, falselyCalled, kappa }: MarkedAnswers): string {
  const lines = [
    `${parts} parts of known truth (invented, simulated)`,
    `hits          ${shareText(hits)} of the odd parts`,
    `misses        ${hits.of - hits.count}${missed.length ? `: ${missed.map((m) => `${m.part} (${m.is})`).join(", ")}` : ""}`,
    `false calls   ${shareText(falseCalls)} of the sound parts${falselyCalled.length ? `: ${falselyCalled.join(", ")}` : ""}`,
    kappa.kappa === null || kappa.low === null || kappa.high === null
      ? "kappa         none: parts of one kind only"
      : `kappa         ${kappa.kappa.toFixed(2)} (95 %, large samples: ${kappa.low.toFixed(2)} to ${kappa.high.toFixed(2)}), agreement beyond chance`,
    "Intervals: exact (Clopper-Pearson), 95 %.",
  ];
  return lines.map(printable).join("\n");
}

function shareText({ count, of, share, low, high }: CountedShare): string {
  if (share === null || low === null || high === null) return "none";
  const percent = (value: number) => (100 * value).toFixed(1);
  return `${count} of ${of}, ${percent(share)} % (${percent(low)} to ${percent(high)} %)`;
}
