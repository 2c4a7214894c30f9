import type { CountedShare } from "../statistics/exact-interval.ts";
import { countedShare } from "../statistics/exact-interval.ts";
import type { LotOutcome } from "./lot-outcome.ts";

/** How right an inspection was over several lots. Shares with exact 95 % intervals; none where nothing was to be counted. */
export interface OutcomeSum {
  readonly lots: number;
  readonly parts: number;
  /** Odd parts named suspect. */
  readonly detected: CountedShare;
  /** The same by what is odd in them. */
  readonly detectedByKind: readonly { readonly what: string; readonly detected: CountedShare }[];
  /** Sound parts named suspect. */
  readonly falselySuspect: CountedShare;
  /** Sound parts with a call. */
  readonly falselyCalled: CountedShare;
  /** Lots in which the sound parts of one construction stand in several groups. */
  readonly falselySplit: CountedShare;
  /** Lots with a sound part named suspect. */
  readonly withFalseSuspect: CountedShare;
  /** Lots falsely split, or with a sound part that is suspect or called. */
  readonly anythingFalse: CountedShare;
  /** Lots of several constructions, each in groups of its own. */
  readonly toldApart: CountedShare;
  /** Parts not found or said to be not assessable. */
  readonly notJudged: CountedShare;
  /** Pieces that are no part, taken for one. */
  readonly spurious: number;
}

/**
 * Sums up what came of several lots.
 *
 * The intervals take parts (or lots) as independent; parts of one lot share their pictures and their group, so a
 * share of parts is surer in the intervals than it is.
 */
export function sumOutcomes(outcomes: readonly LotOutcome[]): OutcomeSum {
  const sum = (count: (o: LotOutcome) => number) => outcomes.reduce((total, o) => total + count(o), 0);
  const lots = (is: (o: LotOutcome) => boolean) => countedShare(outcomes.filter(is).length, outcomes.length);
  const odd = outcomes.flatMap((o) => o.odd);
  const foundOf = (own: typeof odd) => countedShare(own.filter((p) => p.found).length, own.length);
  const kinds = [...new Set(odd.map((p) => p.is))];
  const several = outcomes.filter((o) => o.toldApart !== null);
  const sound = sum((o) => o.sound);
  const parts = sum((o) => o.parts);
  const share = (count: (o: LotOutcome) => number, of: number) => countedShare(sum(count), of);
  return {
    lots: outcomes.length,
    parts,
    detected: foundOf(odd),
    detectedByKind: kinds.map((what) => ({ what, detected: foundOf(odd.filter((p) => p.is === what)) })),
    falselySuspect: share((o) => o.falselySuspect.length, sound),
    falselyCalled: share((o) => o.falselyCalled.length, sound),
    falselySplit: lots((o) => o.falselySplit),
    withFalseSuspect: lots((o) => o.falselySuspect.length > 0),
    anythingFalse: lots((o) => o.falselySplit || o.falselySuspect.length > 0 || o.falselyCalled.length > 0),
    toldApart: countedShare(several.filter((o) => o.toldApart).length, several.length),
    notJudged: share((o) => o.notFound.length + o.notAssessed.length, parts),
    spurious: sum((o) => o.spurious.length),
  };
}
