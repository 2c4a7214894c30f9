import type { LotSpec } from "./lot-spec.ts";
import type { FamilyName } from "./packages/families.ts";
import { constructionOf } from "./packages/families.ts";
import { lotLike, trayOf, usualExposure } from "./usual-lot.ts";

function nullLot(
  name: string,
  family: FamilyName,
  count: number,
  mmPerPx: number,
  layout: LotSpec["layout"],
  kv = 80,
  variant = "A",
): LotSpec {
  return lotLike(name, `${count} ${family} of one construction.`, {
    constructions: [{ construction: constructionOf("g0", family, variant), count }],
    layout,
    mmPerPx,
    exposures: [{ ...usualExposure, kv }],
  });
}

/** Lots of one construction and nothing wrong: whatever is called in them is a false call. */
export const nullLots: readonly LotSpec[] = [
  nullLot("so8-null", "SO-8", 40, 0.0135, { kind: "single", widthPx: 480, heightPx: 480 }),
  nullLot("so8-fused-null", "SO-8", 24, 0.0135, { kind: "single", widthPx: 480, heightPx: 480 }, 80, "C"),
  nullLot("so14-null", "SO-14", 40, 0.02, { kind: "tape", columns: 5, quarters: 1 }),
  nullLot("so16-null", "SO-16", 40, 0.0218, { kind: "tape", columns: 5, quarters: 1 }),
  nullLot("tsop-null", "TSOP-54", 24, 0.029, trayOf(3, 2)),
  nullLot("qfn", "QFN-32", 24, 0.0135, trayOf(2, 3)),
  nullLot("lqfp-null", "LQFP-48", 24, 0.02, trayOf(2, 3)),
  nullLot("sot23-null", "SOT-23-3", 40, 0.016, { kind: "tape", columns: 8, quarters: 0 }),
  nullLot("sot23-6-null", "SOT-23-6", 40, 0.016, { kind: "tape", columns: 8, quarters: 2 }),
  nullLot("dip-null", "DIP-14", 24, 0.028, trayOf(3, 2)),
  nullLot("bga", "BGA-144", 24, 0.022, trayOf(2, 2), 100),
  nullLot("chips", "CAP-0805", 40, 0.016, { kind: "tape", columns: 8, quarters: 1 }, 110),
  nullLot("chips-1206-null", "CAP-1206", 40, 0.016, { kind: "tape", columns: 8, quarters: 1 }, 110),
  nullLot("resistors-null", "RES-0805", 40, 0.016, { kind: "tape", columns: 8, quarters: 1 }, 70),
  nullLot("power-null", "POWER-8", 24, 0.0135, trayOf(2, 3), 100),
  nullLot("ceramic-null", "CERAMIC-14", 24, 0.02, trayOf(2, 2), 110),
];
