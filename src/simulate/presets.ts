import { conditionLots } from "./condition-lots.ts";
import type { LotSpec } from "./lot-spec.ts";
import { nullLots } from "./null-lots.ts";

/** Lots by name, for tests, studies and demo data. All invented. */
export const lotPresets: Readonly<Record<string, LotSpec>> = Object.fromEntries(
  [...nullLots, ...conditionLots].map((spec) => [spec.name, spec]),
);
