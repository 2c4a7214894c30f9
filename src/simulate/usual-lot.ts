import { plainDetector } from "./detector.ts";
import type { ExposureSpec, LotSpec } from "./lot-spec.ts";
import { constructionOf } from "./packages/families.ts";

/** 80 kV behind 1 mm of aluminium, a clean flat panel. */
export const usualExposure: ExposureSpec = { kv: 80, filterMm: { aluminium: 1 }, detector: plainDetector };

/** Few photons, uneven gain, heel effect. */
export const noisyExposure: ExposureSpec = {
  ...usualExposure,
  detector: {
    ...plainDetector,
    openBeamSnr: 60,
    electronicNoiseGrey: 4,
    gainSpread: 0.01,
    columnGainSpread: 0.004,
    heelShare: 0.15,
    falloffShare: 0.08,
  },
};

/** Two settings of one lot: short and soft, long and hard, about a usual tube voltage. */
export function twoExposures(kv: number): [ExposureSpec, ExposureSpec] {
  return [
    {
      kv: kv - 10,
      filterMm: { aluminium: 0.5 },
      detector: { ...plainDetector, openBeamGrey: 2600, openBeamSnr: 350 },
    },
    { kv: kv + 15, filterMm: { aluminium: 1 }, detector: { ...plainDetector, openBeamGrey: 3700 } },
  ];
}

/** The lot that others change: 40 of one SO-8, one part a picture. */
const usualLot: Omit<LotSpec, "name" | "description"> = {
  constructions: [{ construction: constructionOf("g0", "SO-8", "A"), count: 40 }],
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

/** Parts of the usual placement that a lot changes. */
export type PlacementChanges = Partial<LotSpec["placement"]>;

/** The usual lot under a name, changed. */
export function lotLike(
  name: string,
  description: string,
  changes: Partial<LotSpec>,
  placement: PlacementChanges = {},
): LotSpec {
  return { ...usualLot, ...changes, name, description, placement: { ...usualLot.placement, ...placement } };
}

/** A moulded tray with walls. */
export function trayOf(rows: number, columns: number): LotSpec["layout"] {
  return { kind: "tray", rows, columns, gapMm: 0.8, marginMm: 0.4, walls: true, offsetMm: [0, 0] };
}
