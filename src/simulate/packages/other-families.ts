import { ballGridPackage } from "./ball-grid.ts";
import { ceramicLidPackage } from "./ceramic-lid.ts";
import { chipPackage } from "./chip.ts";
import { clipPowerPackage } from "./clip-power.ts";
import type { PackageFamily } from "./family.ts";
import { goldWire } from "./family.ts";
import { fourRowPackage } from "./four-row.ts";
import { noLeadPackage } from "./no-lead.ts";

const lqfp = {
  perSide: 12,
  pitch: 0.5,
  wing: { leadWidth: 0.22, shoulder: 0.18, legHeight: 0.75, reach: 1.0, damStub: 1.25 },
  draft: 0.08,
  innerWidth: 0.16,
  gap: 0.28,
  elbowShare: 0.15,
  tieWidth: 0.22,
  padChamfer: 0.15,
  padHole: 0,
} as const;

const ballGrid = {
  columns: 12,
  rows: 12,
  pitch: 0.8,
  ballDiameter: 0.45,
  ring: 0,
  laminateThickness: 0.36,
  mouldInset: 0.35,
  fingersPerSide: 18,
  routing: 1,
} as const;

const capacitor = {
  kind: "capacitor",
  capLength: 0.45,
  capThickness: 0.05,
  electrodeThickness: 0.06,
  electrodeMargin: [0.3, 0.2],
} as const;

const resistor = {
  kind: "resistor",
  capLength: 0.38,
  capThickness: 0.04,
  electrodeThickness: 0,
  electrodeMargin: [0, 0],
} as const;

const chipUsual = {
  frameMaterial: "nickel",
  frameThicknessMm: 0.05,
  dieMm: null,
  wire: null,
  bonded: "all",
} as const;

const clip = {
  clipMm: [2.6, 2.9],
  clipThickness: 0.2,
  clipHoles: [],
  leadWidth: 0.42,
} as const;

const ceramicLid = {
  pins: 14,
  pitch: 1.27,
  leadWidth: 0.42,
  reach: 2.0,
  cavityMm: [4.6, 3.4],
  cavityDepth: 0.9,
  lidMm: [7.6, 5.4],
  lidThickness: 0.25,
} as const;

/** Families without leads on two long sides. Dimensions inside the body are invented. */
export const otherFamilies = {
  "QFN-32": {
    usual: {
      frameMaterial: "copper",
      frameThicknessMm: 0.2,
      bodyMm: [5.0, 5.0],
      bodyThicknessMm: 0.85,
      dieMm: [2.3, 2.05, 0.2],
      wire: goldWire,
      bonded: "all",
    },
    variants: {
      A: {
        padMm: [3.2, 3.2],
        build: noLeadPackage({
          perSide: 8,
          pitch: 0.5,
          leadWidth: 0.25,
          leadLength: 0.4,
          extension: [0.22, 0.18],
          padChamfer: 0.1,
          pinOneChamfer: 0.45,
          tieWidth: 0.2,
          ventRadius: 0,
        }),
      },
      B: {
        padMm: [3.0, 3.0],
        build: noLeadPackage({
          perSide: 8,
          pitch: 0.5,
          leadWidth: 0.23,
          leadLength: 0.45,
          extension: [0.25, 0.22],
          padChamfer: 0.3,
          pinOneChamfer: 0.3,
          tieWidth: 0.28,
          ventRadius: 0.09,
        }),
      },
    },
  },
  "LQFP-48": {
    usual: {
      frameMaterial: "copper",
      frameThicknessMm: 0.127,
      bodyMm: [7.0, 7.0],
      bodyThicknessMm: 1.4,
      dieMm: [2.5, 2.3, 0.28],
      wire: goldWire,
      bonded: "all",
    },
    variants: {
      A: { padMm: [3.4, 3.4], build: fourRowPackage(lqfp) },
      B: {
        padMm: [3.1, 3.1],
        build: fourRowPackage({ ...lqfp, elbowShare: 0.25, tieWidth: 0.16, padHole: 0.5 }),
      },
    },
  },
  "BGA-144": {
    usual: {
      frameMaterial: "copper",
      frameThicknessMm: 0.018,
      bodyMm: [11, 11],
      bodyThicknessMm: 1.2,
      dieMm: [4.6, 4.1, 0.3],
      wire: goldWire,
      bonded: "all",
    },
    variants: {
      A: { padMm: null, build: ballGridPackage(ballGrid) },
      B: { padMm: null, build: ballGridPackage({ ...ballGrid, ring: 4, routing: 3 }) },
    },
  },
  "CAP-0805": {
    usual: { ...chipUsual, bodyMm: [2.0, 1.25], bodyThicknessMm: 0.85 },
    variants: {
      A: { padMm: null, build: chipPackage(capacitor) },
      B: {
        padMm: null,
        build: chipPackage({ ...capacitor, electrodeThickness: 0.12, electrodeMargin: [0.2, 0.12] }),
      },
    },
  },
  "CAP-1206": {
    usual: { ...chipUsual, bodyMm: [3.2, 1.6], bodyThicknessMm: 1.1 },
    variants: {
      A: { padMm: null, build: chipPackage({ ...capacitor, capLength: 0.55 }) },
      B: { padMm: null, build: chipPackage({ ...capacitor, capLength: 0.7, electrodeThickness: 0.1 }) },
    },
  },
  "RES-0805": {
    usual: { ...chipUsual, bodyMm: [2.0, 1.25], bodyThicknessMm: 0.5 },
    variants: {
      A: { padMm: null, build: chipPackage(resistor) },
      B: { padMm: null, build: chipPackage({ ...resistor, capLength: 0.46 }) },
    },
  },
  "POWER-8": {
    usual: {
      frameMaterial: "copper",
      frameThicknessMm: 0.25,
      bodyMm: [5.0, 6.0],
      bodyThicknessMm: 1.0,
      dieMm: [3.5, 2.9, 0.12],
      wire: { material: "gold", diameterMm: 0.038 },
      bonded: "all",
    },
    variants: {
      A: { padMm: [4.2, 4.0], build: clipPowerPackage(clip) },
      B: {
        padMm: [4.0, 4.2],
        build: clipPowerPackage({
          ...clip,
          clipMm: [2.3, 2.6],
          clipHoles: [
            [-0.5, 0, 0.2],
            [0.5, 0, 0.2],
          ],
        }),
      },
    },
  },
  "CERAMIC-14": {
    usual: {
      frameMaterial: "kovar",
      frameThicknessMm: 0.12,
      bodyMm: [9.6, 6.6],
      bodyThicknessMm: 1.8,
      dieMm: [2.2, 1.7, 0.35],
      wire: { material: "aluminium", diameterMm: 0.032 },
      bonded: "all",
    },
    variants: {
      A: { padMm: [3.2, 2.6], build: ceramicLidPackage(ceramicLid) },
      B: {
        padMm: [3.0, 2.4],
        build: ceramicLidPackage({ ...ceramicLid, cavityMm: [4.2, 3.2], lidMm: [7.2, 5.0] }),
      },
    },
  },
} as const satisfies Readonly<Record<string, PackageFamily>>;
