import type { AssuranceFacts } from "./assurance.ts";
import { assuranceSays, lotBounds } from "./assurance.ts";
import type { JudgedLot } from "./judge-lot.ts";
import { characteristicText } from "./measured-text.ts";
import { nextSteps } from "./next-steps.ts";
import type { PhysicalPart } from "./physical-parts.ts";

/** One view of the lot (top, side), judged as a lot of its own. */
export interface JudgedView {
  readonly view: string;
  readonly judged: JudgedLot;
}

/**
 * Views of one lot, each compared within itself, as one result: groups are named by their view ("top A"), suspects are
 * those of every view, and what is said of the whole lot counts physical parts, each once.
 *
 * @param views at least one
 * @param physical every physical part with what each view says of it
 * @param quantity parts in the whole lot; null when not given
 */
export function mergeViews(
  views: readonly JudgedView[],
  physical: readonly PhysicalPart[],
  quantity: number | null,
  sensitivity = 1,
): JudgedLot {
  const all = <T>(of: (judged: JudgedLot, name: (group: string) => string) => readonly T[]): T[] =>
    views.flatMap(({ view, judged }) => of(judged, (group) => `${view} ${group}`));
  const each = (of: (judged: JudgedLot) => string) =>
    views.map(({ view, judged }) => `Seen from ${view}: ${of(judged)}`).join(" ");
  const conclusion = mergedConclusion(views.map(({ judged }) => judged.conclusion));
  const judgedParts = physical.filter((part) => part.views.every(({ assessable }) => assessable)).length;
  const suspectParts = physical.filter(({ suspect }) => suspect).length;
  const facts: AssuranceFacts = {
    conclusion,
    quantity,
    looked: judgedParts,
    found: suspectParts,
    sensitivity,
  };
  const lotSuspect = {
    value: views.some(({ judged }) => judged.lotSuspect.value),
    because: views.some(({ judged }) => judged.groups.length > 1)
      ? each((judged) => judged.lotSuspect.because)
      : "No split into groups was found in any view.",
  };
  return {
    method: views[0].judged.method,
    parts: all((judged, name) =>
      judged.parts.map((part) => ({ ...part, group: part.group === null ? null : name(part.group) })),
    ),
    groups: all((judged, name) =>
      judged.groups.map((group) => ({
        ...group,
        name: name(group.name),
        differsFrom: group.differsFrom.map((other) => ({ ...other, group: name(other.group) })),
      })),
    ),
    exemplars: all((judged, name) =>
      judged.exemplars.map((exemplar) => ({
        ...exemplar,
        against: exemplar.against.map((against) => ({ ...against, group: name(against.group) })),
      })),
    ),
    suspects: all((judged) => judged.suspects),
    lotSuspect,
    compared: views.flatMap(({ view, judged }) =>
      judged.compared.map((compared) => ({
        ...compared,
        characteristic: `${characteristicText(compared.characteristic)} (${view})`,
      })),
    ),
    conclusion,
    says: each(({ says }) => says),
    identity: mergedIdentity(views.map(({ judged }) => judged.identity)),
    assurance: assuranceSays(facts),
    bounds: lotBounds(facts),
    questions: [...new Set(all(({ questions }) => questions))],
    next: nextSteps({
      conclusion,
      suspects: suspectParts,
      lotSuspect: lotSuspect.value,
      found: physical.length,
      judged: judgedParts,
      quantity,
      notInspected: 0,
      conditional: views.some(({ judged }) => judged.questions.length > 0),
      compared: all(({ compared }) => compared),
    }),
  };
}

/** Mixed in any view is mixed; one that cannot be judged leaves the whole open. */
function mergedConclusion(of: readonly JudgedLot["conclusion"][]): JudgedLot["conclusion"] {
  if (of.includes("mixed")) return "mixed";
  return of.includes("not-assessable") ? "not-assessable" : "consistent";
}

/** A difference in any view counts; agreement needs every view that has an exemplar. */
function mergedIdentity(of: readonly JudgedLot["identity"][]): JudgedLot["identity"] {
  for (const identity of ["differs", "not-comparable", "agrees-with-exemplar"] as const)
    if (of.includes(identity)) return identity;
  return "no-exemplar";
}
