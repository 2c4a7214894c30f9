import { conditionLots } from "./condition-lots.ts";
import type { LotSpec } from "./lot-spec.ts";
import { nullLots } from "./null-lots.ts";
import { studyLots, studyNullLots } from "./study-lots.ts";

const specsOf = (lots: readonly { readonly spec: LotSpec }[]) => lots.map(({ spec }) => spec);

/** Lots under headings, as they are listed. */
export const presetSections: Readonly<Record<string, readonly LotSpec[]>> = {
  "One construction, nothing wrong": nullLots,
  "Awkwardly taken, or with something to find": conditionLots,
  "Studies: one condition in one package": specsOf(studyLots),
  "Studies: one construction in ways to lie": specsOf(studyNullLots),
};

/** Lots by name, for tests, studies, training and demo data. All invented. */
export const lotPresets: Readonly<Record<string, LotSpec>> = Object.fromEntries(
  Object.values(presetSections)
    .flat()
    .map((spec) => [spec.name, spec]),
);
