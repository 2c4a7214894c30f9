import { plainDetector } from "./detector.ts";
import type { ExposureSpec, LotSpec } from "./lot-spec.ts";
import { constructionOf } from "./packages/families.ts";

const usualExposure: ExposureSpec = { kv: 80, filterMm: { aluminium: 1 }, detector: plainDetector };

const so8 = constructionOf("g0", "SO-8", "A");

/** The usual lot that presets change: 40 of one SO-8, one part a picture. */
export const plainLot: LotSpec = {
  name: "so8-null",
  description: "40 SO-8 of one construction.",
  constructions: [{ construction: so8, count: 40 }],
  faults: [],
  minorityShare: 0.2,
  layout: { kind: "single", widthPx: 480, heightPx: 480 },
  mmPerPx: 0.0135,
  sourceDistanceMm: null,
  exposures: [usualExposure],
  placement: {
    shiftMm: 0.05,
    turnSpreadDeg: 0.8,
    turnsDeg: [0],
    mirroredShare: 0,
    scaleSpread: 0.002,
    tiltSpreadDeg: 0.5,
    bodyShiftMm: 0.015,
    bodyTurnDeg: 0.15,
  },
  spread: { dieShiftMm: 0.03, dieTurnDeg: 0.8, wireSway: 0.03, attachVoids: 1 },
  dust: 0.5,
};

const tray = { kind: "tray", gapMm: 0.8, marginMm: 0.4, walls: true, offsetMm: [0, 0] } as const;

/** Lots by name. */
export const lotPresets: Readonly<Record<string, LotSpec>> = {
  "so8-null": plainLot,
  "so16-null": {
    ...plainLot,
    name: "so16-null",
    description: "40 SO-16 of one construction in tape, 5 a picture.",
    constructions: [{ construction: constructionOf("g0", "SO-16", "A"), count: 40 }],
    layout: { kind: "tape", columns: 5, quarters: 1 },
    mmPerPx: 0.0218,
  },
  "tsop-null": {
    ...plainLot,
    name: "tsop-null",
    description: "24 TSOP-54 of one construction in trays of 6.",
    constructions: [{ construction: constructionOf("g0", "TSOP-54", "A"), count: 24 }],
    layout: { ...tray, rows: 3, columns: 2 },
    mmPerPx: 0.029,
  },
  qfn: {
    ...plainLot,
    name: "qfn",
    description: "24 QFN-32 of one construction in trays of 6.",
    constructions: [{ construction: constructionOf("g0", "QFN-32", "A"), count: 24 }],
    layout: { ...tray, rows: 2, columns: 3 },
    mmPerPx: 0.0135,
  },
  placement: {
    ...plainLot,
    name: "placement",
    description: "24 SO-8 of one construction at any turn, some on their backs, one part a picture.",
    constructions: [{ construction: so8, count: 24 }],
    layout: { kind: "single", widthPx: 620, heightPx: 620 },
    placement: { ...plainLot.placement, turnsDeg: "any", mirroredShare: 0.3 },
  },
  "other-die-8-percent": {
    ...plainLot,
    name: "other-die-8-percent",
    description: "40 SO-8, 3 with a die 8 % longer and wider.",
    constructions: [
      { construction: so8, count: 37 },
      { construction: { ...so8, id: "g1", dieMm: [1.75, 1.38, 0.28] }, count: 3 },
    ],
  },
  "die-absent-few": {
    ...plainLot,
    name: "die-absent-few",
    description: "40 SO-8, 3 without a die: two without attach, one with it left.",
    faults: [
      { fault: { kind: "die-absent", attach: "none" }, count: 2 },
      { fault: { kind: "die-absent", attach: "left" }, count: 1 },
    ],
  },
};
