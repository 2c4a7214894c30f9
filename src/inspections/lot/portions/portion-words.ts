import { groupName } from "../grouping/judge-groups.ts";
import { constructionOfPart } from "./construction-of-part.ts";
import type { Construction, InspectedPortion } from "./inspected-portion.ts";

/** One portion of a lot as recorded. */
export interface LotPortion {
  /** In their order. */
  readonly pictures: readonly string[];
  /** Parts found in them. */
  readonly parts: number;
  /** What it holds and how it is held together with the portions before, in a sentence or two. */
  readonly says: string;
}

/** The portions of a lot in words. @param order constructions as they are named */
export function portionsInWords(
  portions: readonly InspectedPortion[],
  constructions: readonly Construction[],
  order: readonly number[],
): LotPortion[] {
  const met = new Set<number>();
  return portions.map((portion) => {
    const { findings, constructionOf, pictures } = portion;
    const known = new Set(met);
    const holds = constructionOf.map((construction, g) => {
      met.add(construction);
      const size = findings.parts.filter((p) => constructionOfPart(portion, p) === construction).length;
      const name = groupName(order.indexOf(construction));
      const lies = known.has(construction)
        ? "agrees with its typical parts of the portions before"
        : constructions[construction]?.open
          ? "could not be held against the largest group, and may be that one"
          : known.size === 0
            ? "met here first"
            : "differs from all met before";
      return `${counted(size)} of group ${name}, which ${lies}${g < constructionOf.length - 1 ? ";" : "."}`;
    });
    const aside = findings.parts.length - findings.parts.filter(({ group }) => group !== null).length;
    const says = holds.length ? holds.join(" ") : "None of its parts could be compared.";
    return {
      pictures: pictures.map(({ picture }) => picture),
      parts: findings.parts.length,
      says: holds.length && aside ? `${says} ${counted(aside)} could not be compared.` : says,
    };
  });
}

function counted(n: number): string {
  return n === 1 ? "1 part" : `${n} parts`;
}
