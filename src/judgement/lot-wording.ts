import { fewestCrops } from "../inspections/lot/grouping/judge-groups.ts";
import type { SplitFollows } from "../inspections/lot/result.ts";
import type { Measured } from "../units/measured.ts";
import { inWords } from "./in-words.ts";
import { characteristicText, measuredText, sizeText } from "./measured-text.ts";

/** What was looked at, how well: the facts the sentences need. */
export interface ComparedFacts {
  readonly characteristic: string;
  readonly assessable: boolean;
  readonly because: string;
  readonly smallestDetectable: Measured;
}

/** A set of parts that agree, and how it lies to the largest one. */
export interface GroupFacts {
  readonly againstExemplar?: string;
  readonly name: string;
  readonly size: number;
  readonly differsFrom: readonly {
    readonly group: string;
    readonly because: readonly { readonly measurement: string; readonly by: Measured }[];
  }[];
}

export type LotConclusion = "consistent" | "mixed" | "not-assessable";
export type LotIdentity = "agrees-with-exemplar" | "differs" | "not-comparable" | "no-exemplar";

/** The facts of a finished comparison, before they are put in words. */
export interface LotFacts {
  readonly conclusion: LotConclusion;
  readonly identity: LotIdentity;
  /** Parts found in the pictures. */
  readonly found: number;
  /** Parts that could be judged. */
  readonly judged: number;
  /** Largest first. */
  readonly groups: readonly GroupFacts[];
  /** Number of parts named suspect. */
  readonly suspects: number;
  readonly compared: readonly ComparedFacts[];
}

const namesInASentence = 3;
const smallLot = 8;
const minorityPercent = 20;

/**
 * The conclusion in one to three plain sentences: what was found, what a clean result means,
 * and how it stands to an exemplar. Never says that a part is authentic.
 */
export function lotSays(facts: LotFacts): string {
  return [conclusionSentence(facts), suspectSentence(facts), identitySentence(facts)]
    .filter((text) => text !== "")
    .join(" ");
}

function conclusionSentence(facts: LotFacts): string {
  const { conclusion, groups, judged, found } = facts;
  const sample =
    judged === found
      ? `the sample of ${parts(judged)}`
      : `the ${judged} of ${parts(found)} that could be judged`;
  if (conclusion === "not-assessable") return `Not assessable: ${whyNotAssessable(facts)}.`;
  if (conclusion === "consistent") {
    const where =
      facts.suspects === 0
        ? `in ${sample}`
        : `among the ${parts(judged - facts.suspects)} judged and not named suspect`;
    return `No difference above ${smallestDifferences(facts.compared)} found ${where}.`;
  }
  if (groups.length < 2)
    return `Mixed: ${sample} ${judged === found ? "is" : "are"} of one construction as far as seen, but for parts that are not like the rest.`;
  const list = groups.map(({ name, size }) => `${name} (${parts(size)})`).join(", ");
  const separated = separatedBy(groups);
  const by = separated === "" ? "" : `, separated by ${separated}`;
  return `Mixed: ${sample} holds ${groups.length} constructions, ${list}${by}.`;
}

function suspectSentence({ conclusion, suspects, groups, judged }: LotFacts): string {
  if (conclusion === "not-assessable") return "";
  if (suspects > 0) return suspects === 1 ? "1 part is suspect." : `${suspects} parts are suspect.`;
  if (conclusion === "consistent" && judged < smallLot)
    return `From fewer than ${smallLot} parts nothing is inferred about a lot.`;
  if (conclusion !== "mixed" || groups.length < 2) return "";
  if (judged < smallLot)
    return `With fewer than ${smallLot} parts judged no group can be called the odd one, so no part is named suspect.`;
  return `No group is a minority of at most ${minorityPercent} %, so no part is named suspect.`;
}

function identitySentence(facts: LotFacts): string {
  const { conclusion, identity, groups, suspects } = facts;
  if (conclusion === "not-assessable") return "";
  const fewNamed = conclusion === "mixed" && groups.length > 1 && suspects > 0;
  const sentences: Record<LotIdentity, string> = {
    "no-exemplar": fewNamed
      ? "No exemplar was given: this speaks of sameness within the sample only, and names the few among the many; were fakes the most, it would name the good ones."
      : "No exemplar was given: this speaks of sameness within the sample only.",
    "agrees-with-exemplar": `${capital(agreeingGroups(groups))}, so far as was compared.`,
    differs: `${differingGroups(groups)}; an exemplar of another date code or revision may differ so too, which the maker can confirm.`,
    "not-comparable": "The exemplar could not be compared with the sample.",
  };
  return sentences[identity];
}

/** "Group B differs from the exemplar, with which group A agrees". */
function differingGroups(groups: readonly GroupFacts[]): string {
  const named = (verdict: string) => groups.filter((g) => g.againstExemplar === verdict).map((g) => g.name);
  const [differing, agreeing] = [named("differs"), named("agrees")];
  if (groups.length < 2 || !differing.length) return "The sample differs from the exemplar";
  const agrees = agreeing.length
    ? `, with which ${groupsNamed(agreeing)} agree${agreeing.length === 1 ? "s" : ""}`
    : "";
  return `${capital(groupsNamed(differing))} differ${differing.length === 1 ? "s" : ""} from the exemplar${agrees}`;
}

/** "group A agrees with an exemplar". */
function agreeingGroups(groups: readonly GroupFacts[]): string {
  const agreeing = groups.filter((g) => g.againstExemplar === "agrees").map((g) => g.name);
  if (!agreeing.length) return "the sample agrees with the exemplar";
  return `${groupsNamed(agreeing)} agree${agreeing.length === 1 ? "s" : ""} with an exemplar`;
}

const capital = (text: string) => `${text[0]?.toUpperCase()}${text.slice(1)}`;

/** "group A", "groups A and B". */
function groupsNamed(names: readonly string[]): string {
  return `group${names.length === 1 ? "" : "s"} ${inWords(names)}`;
}

/** "die length 0.02 mm, pad length 0.02 mm or 1 wires seen": the limits of a clean result. */
export function smallestDifferences(compared: readonly ComparedFacts[]): string {
  const limits = compared.filter(
    ({ assessable, smallestDetectable }) => assessable && smallestDetectable.value !== null,
  );
  if (limits.length === 0) return "a limit that could not be stated";
  const named = limits
    .slice(0, namesInASentence)
    .map(
      ({ characteristic, smallestDetectable }) =>
        `${sizeText(smallestDetectable)} (${characteristicText(characteristic)})`,
    );
  const rest = limits.length - named.length;
  return rest > 0 ? `${named.join(", ")} and ${rest} more limit${rest === 1 ? "" : "s"}` : inWords(named);
}

/** Why a split into groups is or is not a finding, by what it goes along with. */
export function splitSays(follows: SplitFollows): string {
  switch (follows.kind) {
    case "codes":
      return `The split follows the codes ${inWords(follows.codes)}: a die shrink, a second assembly site or a new lead frame may do this; ask the maker and check change notices before calling it a finding.`;
    case "inside-code":
      return `The split lies inside the one code ${follows.code}: two constructions under one code are suspect.`;
    case "technique":
      return `The split coincides with a difference in technique (${follows.differs}): construction and technique cannot be told apart here; take the pictures again with one technique.`;
    case "picture":
      return "The split coincides with the pictures: what differs between parts cannot be told from what differs between pictures; take parts of both groups in one picture.";
    case "codes-unknown":
      return "No codes were given, so it cannot be said whether the split follows them; a split that follows date or lot codes may be a change by the maker, one inside a code is suspect.";
  }
}

/**
 * The conclusion in a few words, for a heading.
 *
 * @param conditional a split that waits for the maker's answer
 */
export function conclusionTitle(conclusion: LotConclusion, suspects: number, conditional = false): string {
  const named = suspects === 0 ? "" : `, ${parts(suspects)} suspect`;
  if (conclusion === "mixed")
    return `Mixed${conditional ? " by code" : ""}${named}${conditional ? ": ask the maker" : ""}`;
  if (conclusion === "not-assessable") return `Not assessable${named}`;
  return suspects === 0 ? "No difference found" : `One construction${named}`;
}

/** How a group or the lot stands to the exemplar, in a few words. */
export function identityText(identity: LotIdentity | "agrees"): string {
  const texts: Record<LotIdentity | "agrees", string> = {
    agrees: "agrees",
    "agrees-with-exemplar": "agrees",
    differs: "differs",
    "not-comparable": "not comparable",
    "no-exemplar": "none given",
  };
  return texts[identity];
}

function separatedBy(groups: readonly GroupFacts[]): string {
  const reasons = groups.flatMap(({ differsFrom }) => differsFrom.flatMap(({ because }) => because));
  const firstOfEach = reasons.filter(
    ({ measurement }, at) => reasons.findIndex((other) => other.measurement === measurement) === at,
  );
  return inWords(
    firstOfEach.slice(0, namesInASentence).map(({ measurement, by }) => {
      const size = by.value === null ? by : { ...by, value: Math.abs(by.value) };
      return by.value === null
        ? characteristicText(measurement)
        : `${characteristicText(measurement)} (${measuredText(size)})`;
    }),
  );
}

function whyNotAssessable({ found, judged, groups, compared }: LotFacts): string {
  if (found === 0) return "no part was found in the pictures";
  if (judged === 0) return `none of ${parts(found)} could be judged`;
  if (judged === 1) return "one part alone cannot be compared with others";
  if (judged > 2 && groups.length === judged)
    return `no two of ${parts(judged)} are alike, so nothing says what is normal`;
  if (judged < fewestCrops && groups.length > 0)
    return `${parts(judged)} are too few to say what varies from part to part of one construction`;
  const reasons = [
    ...new Set(compared.filter(({ assessable }) => !assessable).map(({ because }) => because)),
  ];
  return reasons.length === 0
    ? `only ${judged} of ${parts(found)} could be judged`
    : reasons.slice(0, namesInASentence).join("; ");
}

function parts(number: number): string {
  return `${number} part${number === 1 ? "" : "s"}`;
}
