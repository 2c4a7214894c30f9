import type { LotFindings, LotPart, LotResult } from "../inspections/lot/result.ts";
import type { LotBound } from "./assurance.ts";
import { assuranceSays, lotBounds } from "./assurance.ts";
import { codeSplit } from "./code-split.ts";
import { exemplarsInWords } from "./exemplar-wording.ts";
import { judgeSplit } from "./judge-split.ts";
import { lotSays } from "./lot-wording.ts";
import { makerQuestions } from "./maker-questions.ts";
import { nextSteps } from "./next-steps.ts";

/** What is known besides the pictures. */
export interface LotJudgementOptions {
  /** Parts in the whole lot; null when not given. */
  readonly quantity: number | null;
  /** Share of differing parts that the inspection notices, 0 < s <= 1. */
  readonly sensitivity?: number;
  /** Date or lot code of a part; null when it has none. */
  readonly codeOf?: (part: LotPart) => string | null;
  /** Pictures left out because the inspection was stopped. */
  readonly notInspected?: number;
}

/** A lot as judged: the result in words, without its pictures. */
export interface JudgedLot extends Omit<LotResult, "aligned"> {
  readonly bounds: readonly LotBound[];
  readonly questions: readonly string[];
  readonly next: readonly string[];
}

/** The findings with their conclusion and their assurance in sentences. */
export function judgeLot(
  { split, aligned: _pictures, ...findings }: LotFindings,
  { quantity, sensitivity = 1, codeOf = () => null, notInspected = 0 }: LotJudgementOptions,
): JudgedLot {
  const judged = findings.parts.filter(({ assessable }) => assessable).length;
  const suspects = findings.suspects.length;
  const found = findings.parts.length;
  const says = lotSays({ ...findings, found, judged, suspects });
  const { conclusion, compared } = findings;
  const codes = codeSplit(findings.parts.map((part) => ({ group: part.group, code: codeOf(part) })));
  const lotSuspect = judgeSplit(split, codes);
  const questions = makerQuestions(codes, findings.groups);
  const assurance = { conclusion, quantity, looked: judged, found: suspects, sensitivity };
  return {
    ...findings,
    exemplars: exemplarsInWords(findings.exemplars),
    says,
    lotSuspect,
    assurance: assuranceSays(assurance),
    bounds: lotBounds(assurance),
    questions,
    next: nextSteps({
      conclusion,
      suspects,
      lotSuspect: lotSuspect.value,
      found,
      judged,
      quantity,
      notInspected,
      conditional: questions.length > 0,
      compared,
    }),
  };
}
