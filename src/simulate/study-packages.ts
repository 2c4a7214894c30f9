import type { LotSpec } from "./lot-spec.ts";
import type { FamilyName } from "./packages/families.ts";
import { trayOf } from "./usual-lot.ts";

/** A package as the studies lay it in the beam. */
export interface StudyPackage {
  /** Short name, first in the names of its lots. */
  readonly key: string;
  readonly family: FamilyName;
  readonly variant: string;
  readonly kv: number;
  readonly mmPerPx: number;
  readonly layout: LotSpec["layout"];
}

function studied(
  key: string,
  family: FamilyName,
  mmPerPx: number,
  layout: LotSpec["layout"],
  { kv = 80, variant = "A" } = {},
): StudyPackage {
  return { key, family, variant, kv, mmPerPx, layout };
}

const single: LotSpec["layout"] = { kind: "single", widthPx: 510, heightPx: 510 };

/** Moulded packages with die and wires, in which faults are studied; how many parts, and how many are odd. */
export const faultPackages: readonly (StudyPackage & { readonly parts: number; readonly odd: number })[] = [
  { ...studied("so8", "SO-8", 0.0135, single), parts: 16, odd: 2 },
  { ...studied("so14", "SO-14", 0.02, { kind: "tape", columns: 5, quarters: 1 }), parts: 20, odd: 3 },
  { ...studied("so16", "SO-16", 0.0218, { kind: "tape", columns: 5, quarters: 1 }), parts: 15, odd: 2 },
  { ...studied("tsop54", "TSOP-54", 0.029, trayOf(3, 2)), parts: 12, odd: 1 },
  { ...studied("qfn32", "QFN-32", 0.0135, trayOf(2, 3)), parts: 18, odd: 3 },
  { ...studied("lqfp48", "LQFP-48", 0.02, trayOf(2, 3)), parts: 12, odd: 2 },
  { ...studied("sot23-6", "SOT-23-6", 0.016, { kind: "tape", columns: 8, quarters: 2 }), parts: 24, odd: 3 },
  { ...studied("dip14", "DIP-14", 0.028, trayOf(3, 2)), parts: 12, odd: 1 },
];

/** Packages of lots in which nothing is wrong. */
export const nullPackages: readonly StudyPackage[] = [
  ...faultPackages,
  studied("so8-fused", "SO-8", 0.0135, single, { variant: "C" }),
  studied("sot23-3", "SOT-23-3", 0.016, { kind: "tape", columns: 8, quarters: 0 }),
  studied("bga144", "BGA-144", 0.022, trayOf(2, 2), { kv: 100 }),
  studied("cap0805", "CAP-0805", 0.016, { kind: "tape", columns: 8, quarters: 1 }, { kv: 110 }),
  studied("res0805", "RES-0805", 0.016, { kind: "tape", columns: 8, quarters: 1 }, { kv: 70 }),
  studied("power8", "POWER-8", 0.0135, trayOf(2, 3), { kv: 100 }),
  studied("ceramic14", "CERAMIC-14", 0.02, trayOf(2, 2), { kv: 110 }),
];
