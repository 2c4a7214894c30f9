import type { LotFindings, LotResult } from "../inspections/lot/result.ts";
import { assuranceSays } from "./assurance.ts";
import { lotSays, splitSays } from "./lot-wording.ts";

/** What is known besides the pictures. */
export interface LotJudgementOptions {
  /** Parts in the whole lot; null when not given. */
  readonly quantity: number | null;
  /** Share of differing parts that the inspection notices, 0 < s <= 1. */
  readonly sensitivity?: number;
}

/** The findings with their conclusion and their assurance in sentences. */
export function judgeLot(
  { split, ...findings }: LotFindings,
  { quantity, sensitivity = 1 }: LotJudgementOptions,
): LotResult {
  const judged = findings.parts.filter(({ assessable }) => assessable).length;
  const suspects = findings.suspects.length;
  const says = lotSays({ ...findings, found: findings.parts.length, judged, suspects });
  const { conclusion } = findings;
  return {
    ...findings,
    says,
    lotSuspect: {
      value: split?.kind === "inside-code",
      because: split ? splitSays(split) : "No split into groups was found.",
    },
    assurance: assuranceSays({ conclusion, quantity, looked: judged, found: suspects, sensitivity }),
  };
}
