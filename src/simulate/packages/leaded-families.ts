import type { PackageFamily } from "./family.ts";
import { goldWire } from "./family.ts";
import { transistorPackage } from "./small-outline-transistor.ts";
import { twoRowPackage } from "./two-row.ts";

const soWing = { leadWidth: 0.41, shoulder: 0.3, legHeight: 0.75, reach: 1.05, damStub: 1.2 } as const;
const soA = {
  pitch: 1.27,
  wing: soWing,
  draft: 0.1,
  innerWidth: 0.36,
  gap: 0.2,
  flare: 1.6,
  tie: "tapered",
  tieWidth: 0.28,
  leadHole: 0.1,
  padHoles: [],
  padChamfer: 0.12,
  fused: [],
} as const;
const soB = { ...soA, flare: 1.35, innerWidth: 0.4, tie: "double", tieWidth: 0.3, padChamfer: 0.2 } as const;
const soUsual = {
  frameMaterial: "copper",
  frameThicknessMm: 0.2,
  bodyThicknessMm: 1.45,
  wire: goldWire,
  bonded: "all",
} as const;

const tsop = {
  pins: 54,
  pitch: 0.8,
  wing: { leadWidth: 0.32, shoulder: 0.16, legHeight: 0.5, reach: 0.8, damStub: 1.25 },
  draft: 0.06,
  innerWidth: 0.32,
  gap: 0.35,
  flare: 1.0,
  tie: "single",
  tieWidth: 0.42,
  holesInLeads: [],
  leadHole: 0.08,
  padHoles: [],
  padChamfer: 0.35,
  fused: [],
} as const;

const sot6 = {
  ...soA,
  pins: 6,
  pitch: 0.95,
  wing: { leadWidth: 0.38, shoulder: 0.16, legHeight: 0.55, reach: 0.6, damStub: 1 },
  draft: 0.06,
  innerWidth: 0.3,
  gap: 0.14,
  tieWidth: 0.18,
  holesInLeads: [],
} as const;
const sot3Wing = { leadWidth: 0.42, shoulder: 0.14, legHeight: 0.55, reach: 0.55, damStub: 1 } as const;
const sotUsual = {
  frameMaterial: "copper",
  frameThicknessMm: 0.12,
  wire: goldWire,
  bonded: "all",
} as const;

const dip14 = {
  ...soA,
  pins: 14,
  pitch: 2.54,
  // Leads that go straight down: the last stretch is seen end on, and there is no foot.
  wing: { leadWidth: 0.5, shoulder: 0.35, legHeight: 3.4, reach: 0.6, damStub: 2.6 },
  draft: 0.3,
  innerWidth: 0.6,
  gap: 0.4,
  flare: 2,
  tieWidth: 0.6,
  leadHole: 0.2,
  padChamfer: 0.2,
  holesInLeads: [],
} as const;

/** Families with leads on the two long sides. Dimensions inside the body are invented. */
export const leadedFamilies = {
  "SO-8": {
    usual: { ...soUsual, bodyMm: [4.9, 3.9], dieMm: [1.62, 1.28, 0.28] },
    variants: {
      A: { padMm: [2.35, 1.9], build: twoRowPackage({ ...soA, pins: 8, holesInLeads: [1, 2] }) },
      B: { padMm: [2.75, 1.66], build: twoRowPackage({ ...soB, pins: 8, holesInLeads: [0, 3] }) },
      C: {
        padMm: [2.3, 1.8],
        build: twoRowPackage({ ...soA, pins: 8, holesInLeads: [1], tie: "single", fused: [4] }),
      },
      // A with a lead fused to the pad.
      D: {
        padMm: [2.35, 1.9],
        build: twoRowPackage({ ...soA, pins: 8, holesInLeads: [1, 2], fused: [4] }),
      },
    },
  },
  "SO-14": {
    usual: { ...soUsual, bodyMm: [8.65, 3.9], dieMm: [2.1, 1.45, 0.28] },
    variants: {
      A: { padMm: [3.2, 2.0], build: twoRowPackage({ ...soA, pins: 14, holesInLeads: [0, 6] }) },
      B: { padMm: [2.9, 2.2], build: twoRowPackage({ ...soB, pins: 14, holesInLeads: [] }) },
      D: {
        padMm: [3.2, 2.0],
        build: twoRowPackage({ ...soA, pins: 14, holesInLeads: [0, 6], fused: [7] }),
      },
    },
  },
  "SO-16": {
    usual: { ...soUsual, bodyMm: [9.9, 3.9], dieMm: [2.3, 1.5, 0.28] },
    variants: {
      A: { padMm: [3.7, 2.0], build: twoRowPackage({ ...soA, pins: 16, tie: "single", holesInLeads: [] }) },
      B: { padMm: [3.2, 2.2], build: twoRowPackage({ ...soB, pins: 16, holesInLeads: [0, 7] }) },
      D: {
        padMm: [3.7, 2.0],
        build: twoRowPackage({ ...soA, pins: 16, tie: "single", holesInLeads: [], fused: [8] }),
      },
    },
  },
  "TSOP-54": {
    usual: {
      frameMaterial: "alloy42",
      frameThicknessMm: 0.127,
      bodyMm: [22.22, 10.16],
      bodyThicknessMm: 1.0,
      dieMm: [10.4, 5.5, 0.25],
      wire: goldWire,
      bonded: "all",
    },
    variants: {
      A: {
        padMm: [11.6, 6.4],
        build: twoRowPackage({
          ...tsop,
          padHoles: [
            [-2.6, -1.6, 0.45],
            [2.6, -1.6, 0.45],
            [-2.6, 1.6, 0.45],
            [2.6, 1.6, 0.45],
          ],
        }),
      },
      B: {
        padMm: [11.0, 6.9],
        build: twoRowPackage({ ...tsop, tie: "double", tieWidth: 0.6, holesInLeads: [0, 26] }),
      },
    },
  },
  "DIP-14": {
    usual: {
      frameMaterial: "alloy42",
      frameThicknessMm: 0.25,
      bodyMm: [19.3, 6.4],
      bodyThicknessMm: 3.3,
      dieMm: [2.6, 2.1, 0.35],
      wire: goldWire,
      bonded: "all",
    },
    variants: {
      A: { padMm: [4.4, 3.0], build: twoRowPackage(dip14) },
      B: { padMm: [3.8, 3.3], build: twoRowPackage({ ...dip14, tie: "double", holesInLeads: [1, 5] }) },
    },
  },
  "SOT-23-6": {
    usual: { ...sotUsual, bodyMm: [2.9, 1.6], bodyThicknessMm: 1.1, dieMm: [0.86, 0.5, 0.2] },
    variants: {
      A: { padMm: [1.35, 0.72], build: twoRowPackage({ ...sot6, fused: [2] }) },
      B: { padMm: [1.2, 0.66], build: twoRowPackage({ ...sot6, fused: [5], flare: 1.3, tie: "single" }) },
    },
  },
  "SOT-23-3": {
    usual: { ...sotUsual, bodyMm: [2.9, 1.3], bodyThicknessMm: 0.95, dieMm: [0.5, 0.38, 0.2] },
    variants: {
      A: {
        padMm: [0.95, 0.56],
        build: transistorPackage({
          wing: sot3Wing,
          draft: 0.06,
          landMm: [0.62, 0.32],
          neckHole: 0,
          neckWidth: 0.42,
        }),
      },
      B: {
        padMm: [1.1, 0.5],
        build: transistorPackage({
          wing: sot3Wing,
          draft: 0.06,
          landMm: [0.52, 0.36],
          neckHole: 0.07,
          neckWidth: 0.5,
        }),
      },
    },
  },
} as const satisfies Readonly<Record<string, PackageFamily>>;
