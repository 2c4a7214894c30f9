import type { ExemplarFindings, LotExemplar } from "../inspections/lot/result.ts";
import type { Measured } from "../units/measured.ts";
import { inWords } from "./in-words.ts";
import { smallestDifferences } from "./lot-wording.ts";
import { characteristicText, measuredText } from "./measured-text.ts";

type Against = ExemplarFindings["against"][number];

const mostNamed = 3;

/** The exemplars with each verdict in a sentence. */
export function exemplarsInWords(exemplars: readonly ExemplarFindings[]): LotExemplar[] {
  return exemplars.map((exemplar) => ({
    ...exemplar,
    against: exemplar.against.map((a) => ({ ...a, says: againstSays(a) })),
  }));
}

/** How a group lies to an exemplar, with the reason. */
export function againstSays({ group, verdict, otherCode, because, compared }: Against): string {
  if (verdict === "agrees") {
    return `Group ${group} agrees with it: no difference above ${smallestDifferences(compared)} was found.`;
  }
  if (verdict === "differs") {
    const named = because.slice(0, mostNamed).map((reason) => reasonText(reason.measurement, reason.by));
    const rest = because.length - named.length;
    const differs = `Group ${group} differs from it: ${inWords(rest > 0 ? [...named, `${rest} more`] : named)}.`;
    return otherCode ? `${differs} ${askTheMaker}` : differs;
  }
  const hidden = compared.filter(({ assessable }) => !assessable).map((c) => c.because);
  return `Group ${group} could not be compared with it: ${hidden[0] ?? "nothing of it is seen in both"}.`;
}

const askTheMaker =
  "Its parts carry another date code than the exemplar: ask the maker whether the construction was changed before calling it a finding.";

/** "die length 0.12 ± 0.02 mm less than in the exemplar". */
function reasonText(measurement: string, by: Measured): string {
  if (measurement === "diePresence") {
    return by.value !== null && by.value < 0
      ? "no die, where the exemplar has one"
      : "a die, where the exemplar has none";
  }
  const what = characteristicText(measurement);
  if (measurement === "bonding" && by.value !== null) {
    return `${by.value === 1 ? "one lead is" : `${by.value} leads are`} bonded otherwise`;
  }
  if (by.value === null) return what;
  const size = measuredText({ ...by, value: Math.abs(by.value) });
  if (measurement === "outline") return `the outlines inside the body by ${size} of its contrast`;
  return `${what} ${size} ${by.value < 0 ? "less" : "more"} than in the exemplar`;
}
