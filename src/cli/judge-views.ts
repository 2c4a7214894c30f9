import type { JobFile } from "../contract/job-file.ts";
import type { LotCodes, PartCodes } from "../contract/lot-codes.ts";
import { noCodes } from "../contract/lot-codes.ts";
import type { LotStep } from "../contract/lot-work-schema.ts";
import { tapePositions } from "../contract/tape-positions.ts";
import type { InspectedInPortions } from "../inspections/lot/portions/inspect-in-portions.ts";
import type { LotPart } from "../inspections/lot/result.ts";
import type { JudgedLot } from "../judgement/judge-lot.ts";
import { judgeLot } from "../judgement/judge-lot.ts";
import { mergeViews } from "../judgement/merge-views.ts";
import type { PhysicalPart } from "../judgement/physical-parts.ts";
import { physicalParts } from "../judgement/physical-parts.ts";

/** Pictures of one view with their inspection. */
export interface InspectedView {
  readonly view: string | null;
  readonly inspected: InspectedInPortions;
}

/** What is known of a part besides its picture. */
type CodesOf = (part: { readonly id: string; readonly picture: string }) => PartCodes;

/** Judges each view as a lot and joins them; one view stands as it is. */
export function judgeViews(
  inspected: readonly InspectedView[],
  views: readonly string[],
  codesOf: CodesOf,
  known: { quantity: number | null; sensitivity: number; notInspected: number },
): { judged: JudgedLot; physical: PhysicalPart[] } {
  const codeOf = (part: LotPart) => codesOf(part).code;
  const judgedViews = inspected.map(({ view, inspected: { findings } }) => ({
    view: view ?? "",
    judged: judgeLot(findings, { ...known, codeOf }),
  }));
  if (judgedViews.length === 1) return { judged: judgedViews[0].judged, physical: [] };
  const physical = physicalParts(
    judgedViews.flatMap(({ view, judged }) =>
      judged.parts.map((part) => ({
        ...codesOf(part),
        ...part,
        group: part.group === null ? null : `${view} ${part.group}`,
      })),
    ),
    views,
  );
  return { judged: mergeViews(judgedViews, physical, known.quantity, known.sensitivity), physical };
}

/** What is known of each part from table, job and counting, and what is to be said of that. */
export function knownOfParts(
  codes: LotCodes | null,
  job: JobFile | null,
  tape: number | null,
  pictures: readonly string[],
  parts: readonly LotPart[],
): { codesOf: CodesOf; remarks: string[] } {
  const counted = tape === null ? null : tapePositions(tape, pictures, parts);
  const codesOf: CodesOf = (part) => {
    const own = codes?.of(part) ?? noCodes;
    return {
      ...own,
      code: own.code ?? job?.code ?? null,
      position: own.position ?? counted?.positions.get(part.id) ?? null,
    };
  };
  const remarks: string[] = [];
  const without = parts.filter((part) => codesOf(part).code === null).length;
  if (without > 0 && without < parts.length)
    remarks.push(`${without === 1 ? "1 part has" : `${without} parts have`} no date or lot code.`);
  if (counted) remarks.push(counted.says);
  return { codesOf, remarks };
}

/** The step that records a stop after the first `taken` pictures. */
export function stoppedStep(
  { suspects, conclusion }: JudgedLot,
  pictures: readonly string[],
  taken: number,
  at: string,
  job: JobFile | null,
): LotStep {
  const because =
    suspects.length > 0
      ? `First suspect: ${suspects.length === 1 ? "1 part" : `${suspects.length} parts`} in the first ${taken} pictures.`
      : `The first ${taken} pictures show a ${conclusion} lot.`;
  return {
    step: "stopped",
    at,
    by: job?.examiner?.name ?? null,
    because,
    after: pictures[taken - 1],
    suspects: [...suspects],
  };
}
