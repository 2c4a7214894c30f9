import type { SplitFollows } from "../inspections/lot/result.ts";
import type { CodeSplit } from "./code-split.ts";
import { inWords } from "./in-words.ts";
import { splitSays } from "./lot-wording.ts";

/** What a split means for the lot: whether it makes the lot suspect, and the sentences that say why or why not. */
export interface SplitJudgement {
  readonly value: boolean;
  readonly because: string;
}

/**
 * Joins what the pictures tell of a split (technique, picture) with what the codes tell.
 *
 * A split inside one code makes the lot suspect, except where it coincides with the technique: there the construction
 * cannot be told from the technique before the pictures are taken again. Both are said where both hold.
 */
export function judgeSplit(pictures: SplitFollows | null, codes: CodeSplit | null): SplitJudgement {
  if (pictures === null) return { value: false, because: "No split into groups was found." };
  const confounded = pictures.kind === "technique" || pictures.kind === "picture";
  // What the codes say replaces what the pictures could not know; without codes the pictures' word stands alone.
  const byCodes = codes === null || codes.kind === "codes-unknown" ? null : codes;
  if (byCodes === null) {
    const partly = codes?.kind === "codes-unknown" && !codes.none;
    const unknown = partly
      ? "Of one group none of its parts has a code, so it cannot be said whether the split follows the codes."
      : splitSays({ kind: "codes-unknown" });
    const sentences = pictures.kind === "codes-unknown" ? [unknown] : [splitSays(pictures)];
    if (confounded) sentences.push(unknown);
    return { value: pictures.kind === "inside-code", because: sentences.join(" ") };
  }
  const sentences = [...(confounded ? [splitSays(pictures)] : []), codesSay(byCodes)];
  const inside = byCodes.kind === "inside-code";
  const held = inside && pictures.kind === "technique";
  if (held) sentences.push("The lot is not called suspect on this before technique has been ruled out.");
  if (byCodes.uncoded > 0)
    sentences.push(
      byCodes.uncoded === 1
        ? "1 compared part has no code and does not count here."
        : `${byCodes.uncoded} compared parts have no code and do not count here.`,
    );
  return { value: inside && !held, because: sentences.join(" ") };
}

function codesSay(split: Exclude<CodeSplit, { kind: "codes-unknown" }>): string {
  if (split.kind === "codes") {
    const codes = split.byGroup.flatMap((own) => own.codes);
    const groups = split.byGroup.map((own) => `${own.group} is ${inWords(own.codes)}`);
    return `${splitSays({ kind: "codes", codes })} Group ${groups.join(", group ")}; no code holds parts of two groups. The result is conditional on the maker's answer.`;
  }
  const [first, ...more] = split.mixed;
  const held = first.groups.map(({ group, parts }) => `${parts} of group ${group}`);
  const others =
    more.length === 0
      ? ""
      : ` So ${more.length === 1 ? "is" : "are"} ${inWords(more.map(({ code }) => code))}.`;
  return `${splitSays({ kind: "inside-code", code: first.code })} Code ${first.code} holds ${inWords(held)}.${others}`;
}
