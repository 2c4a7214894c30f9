import type { Kappa } from "../statistics/cohen-kappa.ts";
import { cohenKappa } from "../statistics/cohen-kappa.ts";
import type { CountedShare } from "../statistics/exact-interval.ts";
import { countedShare } from "../statistics/exact-interval.ts";
import { AnswersError } from "./errors.ts";

/** What a person may answer of a part. */
export type Answer = "suspect" | "ok";

/** One filled row of an answer sheet. */
export interface AnswerRow {
  readonly part: string;
  readonly answer: string;
}

/** What is read of the truth of a training set. */
export interface TrainingTruth {
  readonly expected: { readonly suspect_parts: readonly string[] };
  readonly images: readonly {
    readonly parts: readonly {
      readonly id: string;
      readonly cut_by_edge?: boolean;
      readonly faults?: readonly { readonly kind: string }[];
    }[];
  }[];
}

/** A marked answer sheet. Shares with exact 95 % intervals. */
export interface MarkedAnswers {
  readonly parts: number;
  /** Odd parts answered "suspect". */
  readonly hits: CountedShare;
  /** Sound parts answered "suspect". */
  readonly falseCalls: CountedShare;
  readonly missed: readonly { readonly part: string; readonly is: string }[];
  readonly falselyCalled: readonly string[];
  /** Agreement of answers and truth beyond chance. */
  readonly kappa: Kappa;
}

/**
 * Marks answers against the truth.
 *
 * @throws AnswersError when a part is unknown, answered twice or not at all, or an answer is neither
 */
export function markAnswers(rows: readonly AnswerRow[], truth: TrainingTruth): MarkedAnswers {
  const asked = truth.images.flatMap((image) => image.parts).filter((part) => !part.cut_by_edge);
  const answers = readAnswers(
    rows,
    asked.map((part) => part.id),
  );
  const odd = new Set(truth.expected.suspect_parts);
  const called = (part: { id: string }) => answers.get(part.id) === "suspect";
  const oddParts = asked.filter((part) => odd.has(part.id));
  const sound = asked.filter((part) => !odd.has(part.id));
  const hits = oddParts.filter(called).length;
  const falselyCalled = sound.filter(called);
  return {
    parts: asked.length,
    hits: countedShare(hits, oddParts.length),
    falseCalls: countedShare(falselyCalled.length, sound.length),
    missed: oddParts
      .filter((part) => !called(part))
      .map((part) => ({
        part: part.id,
        is: part.faults?.map((fault) => fault.kind).join(" and ") || "other construction",
      })),
    falselyCalled: falselyCalled.map((part) => part.id),
    kappa: cohenKappa({
      table: [
        [hits, oddParts.length - hits],
        [falselyCalled.length, sound.length - falselyCalled.length],
      ],
    }),
  };
}

function readAnswers(rows: readonly AnswerRow[], asked: readonly string[]): Map<string, Answer> {
  const known = new Set(asked);
  const answers = new Map<string, Answer>();
  for (const { part, answer } of rows) {
    const word = answer.trim().toLowerCase();
    if (!known.has(part))
      throw new AnswersError(`the parts of this truth (${asked[0]} and so on)`, `"${part}"`);
    if (answers.has(part)) throw new AnswersError("one answer for each part", `a second one for ${part}`);
    if (word === "") continue;
    if (word !== "suspect" && word !== "ok")
      throw new AnswersError('"suspect" or "ok" for each part', `"${answer}" for ${part}`);
    answers.set(part, word);
  }
  const open = asked.filter((part) => !answers.has(part));
  if (open.length)
    throw new AnswersError(
      "an answer for every part",
      `none for ${open.slice(0, 5).join(", ")}${open.length > 5 ? ` and ${open.length - 5} others` : ""}`,
    );
  return answers;
}
