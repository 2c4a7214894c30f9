import { median } from "../../../numeric/order.ts";
import type { ExemplarFindings } from "../result.ts";

/** A construction met in the portions before. */
export interface MetConstruction {
  /** Ids of the parts that stand for it. */
  readonly typical: readonly string[];
  /** Parts so far. */
  readonly size: number;
}

/** Where one group of a portion belongs. */
export interface Joined {
  /** Index of the construction it agrees with; null: it is one of its own. */
  readonly construction: number | null;
  /** Whether it could not be told from, nor found to agree with, the largest construction so far. */
  readonly open: boolean;
}

/**
 * In units of the limit: by how much nearer than the largest construction another must be to be joined. One misread part
 * that stood alone in its portion is read rightly beside another, and by chance it lies nearest.
 */
const clearlyNearer = 0.5;

type Lies = { readonly verdict: "agrees" | "differs" | "not-comparable"; readonly times: number };

/**
 * Holds the groups of a portion against the constructions of the portions before. A group joins the construction it
 * agrees with best; two groups that the portion itself tells apart never join one construction.
 *
 * @param groups number of groups
 * @param before how the groups lie to the typical parts, by index of the group
 */
export function joinGroups(
  groups: number,
  constructions: readonly MetConstruction[],
  before: readonly ExemplarFindings[],
): Joined[] {
  const largest = constructions.reduce(
    (best, _, c) => (best < 0 || sizeOf(constructions, c) > sizeOf(constructions, best) ? c : best),
    -1,
  );
  const lies = Array.from({ length: groups }, (_, g) => constructions.map((c) => lieOf(g, c, before)));
  const joined = new Map<number, number>();
  const taken = new Set<number>();
  const pairs = lies
    .flatMap((own, g) => own.map((lie, c) => ({ g, c, ...lie })))
    .filter(({ verdict }) => verdict === "agrees")
    .map((pair) => ({ ...pair, times: pair.times + (pair.c === largest ? 0 : clearlyNearer) }))
    .sort((p, q) => p.times - q.times || sizeOf(constructions, q.c) - sizeOf(constructions, p.c));
  for (const { g, c } of pairs) {
    if (joined.has(g) || taken.has(c)) continue;
    joined.set(g, c);
    taken.add(c);
  }
  return lies.map((own, g) => {
    const construction = joined.get(g) ?? null;
    const told = largest < 0 || own[largest]?.verdict === "differs" || taken.has(largest);
    return { construction, open: construction === null && !told };
  });
}

function sizeOf(constructions: readonly MetConstruction[], at: number): number {
  return (constructions[at] as MetConstruction).size;
}

/** How a group lies to the parts that stand for a construction: what most of those that can be compared say. */
function lieOf(group: number, { typical }: MetConstruction, before: readonly ExemplarFindings[]): Lies {
  const own = before.flatMap(({ id, against }) =>
    typical.includes(id) && against[group] ? [against[group]] : [],
  );
  const agreeing = own.filter(({ verdict }) => verdict === "agrees").length;
  const differing = own.filter(({ verdict }) => verdict === "differs").length;
  const times = own.filter(({ verdict }) => verdict !== "not-comparable").map((a) => a.times ?? 1);
  const verdict =
    agreeing + differing === 0 ? "not-comparable" : agreeing >= differing ? "agrees" : "differs";
  return { verdict, times: times.length ? median(times) : Number.POSITIVE_INFINITY };
}
