import { groupName } from "../grouping/judge-groups.ts";
import type { ExemplarFindings, ExemplarVerdict } from "../result.ts";
import { worstCompared } from "./merge-compared.ts";

/** How a portion's groups lie to the exemplars, and which construction each group is. */
export interface PortionAgainst {
  readonly exemplars: readonly ExemplarFindings[];
  /** By index of the group. */
  readonly constructionOf: readonly number[];
}

type Against = ExemplarFindings["against"][number];

/**
 * How the constructions of a lot lie to its exemplars: one agrees only if its parts agree in every portion, and differs
 * if they do in any.
 *
 * @param order constructions in the order in which they are named
 */
export function mergeExemplars(
  portions: readonly PortionAgainst[],
  order: readonly number[],
): ExemplarFindings[] {
  const [first] = portions;
  if (!first) return [];
  return first.exemplars.map((exemplar, e) => ({
    ...(portions.map(({ exemplars }) => exemplars[e]).find((one) => one?.assessable) ?? exemplar),
    against: order.flatMap((construction, k) => {
      const own = portions.flatMap(({ exemplars, constructionOf }) =>
        (exemplars[e]?.against ?? []).filter((_, g) => constructionOf[g] === construction),
      );
      return own.length ? [oneOf(own, groupName(k))] : [];
    }),
  }));
}

function oneOf(own: readonly Against[], group: string): Against {
  const verdict = together(own.map((a) => a.verdict));
  const says = own.find((a) => a.verdict === verdict) as Against;
  return {
    group,
    verdict,
    otherCode: own.every(({ otherCode }) => otherCode),
    because: says.because,
    compared: worstCompared(own.map(({ compared }) => compared)),
    times: Math.max(...own.map(({ times }) => times ?? 0)),
  };
}

function together(verdicts: readonly ExemplarVerdict[]): ExemplarVerdict {
  if (verdicts.includes("differs")) return "differs";
  return verdicts.every((v) => v === "agrees") ? "agrees" : "not-comparable";
}
