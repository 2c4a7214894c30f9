import type { PointPx } from "../../../numeric/image.ts";
import { boxAround } from "../calling/picture-box.ts";
import type { ExemplarFindings, LotCall, LotCallKind } from "../result.ts";

/**
 * The call on a part of a group that differs from the exemplars while other parts of the lot agree with one, where
 * nothing tells the part from the largest group: it may be the largest group.
 *
 * @param group index of the part's group
 */
export function callAgainstExemplar(
  cornersPx: readonly PointPx[],
  group: number,
  exemplars: readonly ExemplarFindings[],
): LotCall[] {
  const differs = exemplars.find((e) => e.against[group]?.verdict === "differs");
  const reason = differs?.against[group]?.because[0];
  if (!differs || !reason) return [];
  const says = `its group differs from the exemplar ${differs.id}, with which other parts of the lot agree`;
  return [{ kind: kindOf(reason.measurement), boxPx: boxAround(cornersPx), says }];
}

/** What kind of call a difference in such a measurement is. */
export function kindOf(measurement: string): LotCallKind {
  if (measurement.startsWith("die")) return "die";
  return measurement === "allLengths" || measurement.startsWith("body") ? "other" : "lead-frame";
}
