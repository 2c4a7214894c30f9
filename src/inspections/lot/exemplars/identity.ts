import { groupMembers } from "../grouping/group-parts.ts";
import { minorityGroups } from "../grouping/judge-groups.ts";
import type { ExemplarFindings, ExemplarVerdict, LotResult } from "../result.ts";

/** What exemplars make of a lot's groups, by index of the group. */
export interface LotIdentity {
  readonly identity: LotResult["identity"];
  readonly verdicts: readonly (ExemplarVerdict | "no-exemplar")[];
  /** The odd groups: with an exemplar those that differ from it while others agree, else the small ones. */
  readonly odd: ReadonlySet<number>;
}

/**
 * How a lot stands to its exemplars. A group agrees when it agrees with any of them (they may be of several date codes
 * or revisions). The lot agrees when its groups do, those small enough to be the odd ones left aside: they are suspect
 * already. Where some groups agree and others differ the exemplar decides which are odd, be they the most, unless they
 * carry another code than it.
 *
 * @param given whether exemplars were asked for, found or not
 */
export function lotIdentity(
  groupOf: readonly number[],
  exemplars: readonly ExemplarFindings[],
  given = exemplars.length > 0,
): LotIdentity {
  const groups = groupMembers(groupOf).map((_, g) => g);
  const minority = minorityGroups(groupOf);
  if (!given) {
    return { identity: "no-exemplar", verdicts: groups.map(() => "no-exemplar"), odd: minority };
  }
  const verdicts = groups.map((g) => groupVerdict(exemplars.flatMap((e) => e.against[g]?.verdict ?? [])));
  // Parts of another code may be another revision: that is the maker's to say.
  const counts = (g: number) =>
    exemplars.some(({ against }) => against[g]?.verdict === "differs" && !against[g]?.otherCode);
  const agreeing = groups.filter((g) => verdicts[g] === "agrees");
  const differing = groups.filter((g) => verdicts[g] === "differs" && counts(g));
  const odd =
    agreeing.length && differing.length
      ? new Set([...differing, ...minorityBut(minority, agreeing)])
      : minority;
  const most = groups.filter((g) => !minority.has(g));
  const counted = most.map((g) => verdicts[g]);
  const identity = counted.includes("differs")
    ? "differs"
    : counted.length && counted.every((v) => v === "agrees")
      ? "agrees-with-exemplar"
      : "not-comparable";
  return { identity, verdicts, odd };
}

function minorityBut(minority: ReadonlySet<number>, agreeing: readonly number[]): number[] {
  return [...minority].filter((g) => !agreeing.includes(g));
}

function groupVerdict(verdicts: readonly ExemplarVerdict[]): ExemplarVerdict {
  if (verdicts.includes("agrees")) return "agrees";
  return verdicts.includes("differs") ? "differs" : "not-comparable";
}
