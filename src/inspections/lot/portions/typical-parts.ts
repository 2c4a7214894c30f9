import type { LotFindings, LotPart } from "../result.ts";

/** Parts that stand for a construction in the portions after it. */
export const mostTypical = 3;

/**
 * The parts of a group that lie nearest its middle, those of which nothing is called first.
 *
 * @param odd whether the group is one of the odd ones, all of whose parts are called
 * @returns part ids; none where every part has something of its own
 */
export function typicalParts(
  { parts }: Pick<LotFindings, "parts">,
  group: string,
  odd: boolean,
  most = mostTypical,
): string[] {
  return parts
    .filter((part) => part.group === group && part.assessable && (odd || isPlain(part)))
    .sort((a, b) => a.calls.length - b.calls.length || a.oddness - b.oddness)
    .slice(0, most)
    .map(({ id }) => id);
}

function isPlain({ calls, suspect }: LotPart): boolean {
  return calls.length === 0 && !suspect;
}
