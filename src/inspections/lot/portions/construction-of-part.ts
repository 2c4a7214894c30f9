import type { LotPart } from "../result.ts";
import type { InspectedPortion } from "./inspected-portion.ts";

/** The construction of a part by the group it has in its portion; null when it was not compared. */
export function constructionOfPart(
  { findings, constructionOf }: Pick<InspectedPortion, "findings" | "constructionOf">,
  { group }: Pick<LotPart, "group">,
): number | null {
  const at = findings.groups.findIndex(({ name }) => name === group);
  return at < 0 ? null : (constructionOf[at] as number);
}
