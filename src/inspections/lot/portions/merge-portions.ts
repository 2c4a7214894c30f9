import { boxAround } from "../calling/picture-box.ts";
import { isSupportOnly } from "../describe-lot.ts";
import { kindOf } from "../exemplars/call-against-exemplar.ts";
import { lotIdentity } from "../exemplars/identity.ts";
import { groupName } from "../grouping/judge-groups.ts";
import { splitFollows } from "../grouping/split-follows.ts";
import type { LotCall, LotFindings, LotGroup, LotPart } from "../result.ts";
import { constructionDifferences } from "./construction-differences.ts";
import { constructionOfPart } from "./construction-of-part.ts";
import type { Construction, InspectedPortion } from "./inspected-portion.ts";
import { mergeAligned } from "./merge-aligned.ts";
import { worstCompared } from "./merge-compared.ts";
import { mergeExemplars } from "./merge-exemplars.ts";

/** Which constructions of a lot are the odd ones, and how it stands to its exemplars. */
export interface JudgedConstructions extends Omit<ReturnType<typeof lotIdentity>, "odd"> {
  /** Constructions as they are named: the largest first. */
  readonly order: readonly number[];
  readonly odd: ReadonlySet<number>;
  readonly exemplars: LotFindings["exemplars"];
}

/**
 * The odd constructions by the numbers of all portions together; one that may be the largest is never odd.
 *
 * @param given whether exemplars were asked for
 */
export function judgeConstructions(
  constructions: readonly Pick<Construction, "size" | "open">[],
  portions: readonly {
    readonly findings: Pick<LotFindings, "exemplars">;
    readonly constructionOf: readonly number[];
  }[],
  given: boolean,
): JudgedConstructions {
  const order = constructions
    .map((_, c) => c)
    .sort((p, q) => (constructions[q]?.size ?? 0) - (constructions[p]?.size ?? 0) || p - q);
  const groupOf = order.flatMap((c, k) => Array.from({ length: constructions[c]?.size ?? 0 }, () => k));
  const exemplars = mergeExemplars(
    portions.map(({ findings, constructionOf }) => ({ exemplars: findings.exemplars, constructionOf })),
    order,
  );
  const { identity, verdicts, odd } = lotIdentity(groupOf, exemplars, given);
  const isOdd = (c: number, k: number) => odd.has(k) && !constructions[c]?.open;
  return { order, identity, verdicts, odd: new Set(order.filter(isOdd)), exemplars };
}

/** The portions of a lot as one result. */
export function mergePortions(
  portions: readonly InspectedPortion[],
  constructions: readonly Construction[],
  { order, odd, identity, verdicts, exemplars }: JudgedConstructions,
): LotFindings {
  const nameOf = (construction: number) => groupName(order.indexOf(construction));
  const differences = constructionDifferences(portions, constructions);
  const parts = portions.flatMap((portion) =>
    portion.findings.parts.map((part) => {
      const construction = constructionOfPart(portion, part);
      if (construction === null) return part;
      const group = nameOf(construction);
      if (!odd.has(construction)) return { ...part, group };
      const calls = part.calls.length
        ? part.calls
        : callOfConstruction(part, construction, order, differences);
      return { ...part, group, suspect: true, calls, oddness: Math.max(part.oddness, 1.01) };
    }),
  );
  const construction = new Map(order.map((c) => [nameOf(c), c]));
  const groups = order.map((c, k): LotGroup => {
    const own = parts.filter(({ group }) => group === groupName(k)).map(({ id }) => id);
    return {
      name: groupName(k),
      size: own.length,
      parts: own,
      againstExemplar: verdicts[k] ?? "no-exemplar",
      differsFrom: order.flatMap((other) => {
        const found = differences(c, other);
        return found ? [{ group: nameOf(other), ...found }] : [];
      }),
    };
  });
  const told = order.filter((c) => !constructions[c]?.open);
  const normal = constructions.some(({ size }) => size > 1);
  const differ =
    told.length > 1 ||
    parts.some((p) => p.suspect && !isSupportOnly(p, odd.has(construction.get(p.group ?? "") ?? -1)));
  return {
    method: (portions[0] as InspectedPortion).findings.method,
    parts,
    groups,
    exemplars,
    suspects: parts.filter((p) => p.suspect).map((p) => p.id),
    split: splitOf(portions, parts, order.length),
    compared: worstCompared(portions.map(({ findings }) => findings.compared).filter((own) => own.length)),
    conclusion: !normal
      ? "not-assessable"
      : differ
        ? "mixed"
        : told.length < order.length
          ? "not-assessable"
          : "consistent",
    identity,
    aligned: mergeAligned(
      portions.map(({ findings, constructionOf, corners }) => ({
        aligned: findings.aligned,
        constructionOf,
        corners,
      })),
      order,
    ),
  };
}

/** What is called on a part of an odd construction on which its portion saw nothing to call: all it saw may be odd. */
function callOfConstruction(
  { cornersPx }: LotPart,
  construction: number,
  order: readonly number[],
  differences: ReturnType<typeof constructionDifferences>,
): LotCall[] {
  const [reason] = order.flatMap((other) => {
    const because = other === construction ? undefined : differences(construction, other)?.because[0];
    return because ? [{ other, measurement: because.measurement }] : [];
  });
  if (!reason) return [];
  const name = groupName(order.indexOf(reason.other));
  const says = `its construction, group ${groupName(order.indexOf(construction))}, differs from group ${name} of the lot`;
  return [{ kind: kindOf(reason.measurement), boxPx: boxAround(cornersPx), says }];
}

function splitOf(
  portions: readonly InspectedPortion[],
  parts: readonly LotPart[],
  groups: number,
): LotFindings["split"] {
  const pictures = new Map(portions.flatMap((p) => p.pictures.map((facts) => [facts.picture, facts])));
  const grouped = parts.flatMap((part) => {
    const picture = pictures.get(part.picture);
    return part.group !== null && picture ? [{ picture, group: part.group }] : [];
  });
  const names = [...new Set(grouped.map(({ group }) => group))];
  return splitFollows(
    { items: grouped },
    { groups, groupOf: grouped.map(({ group }) => names.indexOf(group)) },
  );
}
