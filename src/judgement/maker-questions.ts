import type { Measured } from "../units/measured.ts";
import type { CodeSplit } from "./code-split.ts";
import { inWords } from "./in-words.ts";
import type { GroupFacts } from "./lot-wording.ts";
import { characteristicText, measuredText } from "./measured-text.ts";

const mostDifferences = 4;

/**
 * What to ask the maker where a split follows the codes: questions that can be printed and sent as they are.
 *
 * @returns empty where nothing is conditional on the maker
 */
export function makerQuestions(split: CodeSplit | null, groups: readonly GroupFacts[]): string[] {
  if (split?.kind !== "codes") return [];
  const codesOf = new Map(split.byGroup.map(({ group, codes }) => [group, inWords(codes)]));
  const all = inWords(split.byGroup.flatMap(({ codes }) => codes));
  const seen = new Set<string>();
  const differences = groups.flatMap(({ name, differsFrom }) =>
    differsFrom.flatMap(({ group: other, because }) => {
      const pair = [name, other].sort().join(" ");
      if (seen.has(pair)) return [];
      seen.add(pair);
      const [here, there] = [codesOf.get(name), codesOf.get(other)];
      if (here === undefined || there === undefined) return [];
      return because
        .slice(0, mostDifferences)
        .map(
          ({ measurement, by }) =>
            `In ${characteristicText(measurement)} parts coded ${here} ${differBy(measurement, by)} parts coded ${there}. Is this a change of yours, and from which code on?`,
        );
    }),
  );
  return [
    `Do your records hold the codes ${all} for this part?`,
    ...differences,
    `Was the die, the lead frame, the bond wire or the assembly site changed between these codes?`,
    "Is there a change notice for it? Please give its number and date.",
    "Did both constructions go out at the same time, and may both carry the same part number?",
    "Can you supply an exemplar or a radiograph of each code to compare with?",
  ];
}

/** "lie 0.20 ± 0.01 mm above"; an outline has no direction. */
function differBy(measurement: string, by: Measured): string {
  if (by.value === null) return "differ from";
  const size = measuredText({ ...by, value: Math.abs(by.value) });
  if (measurement === "outline") return `differ by ${size} from`;
  return `lie ${size} ${by.value < 0 ? "below" : "above"}`;
}
