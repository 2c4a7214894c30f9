import type { BuildPackage, Construction } from "../construction.ts";
import { LotSpecError } from "../errors.ts";
import { noLeadPackage } from "./no-lead.ts";
import { twoRowPackage } from "./two-row.ts";

/** One lead-frame shape of a family. */
export interface FamilyVariant {
  readonly padMm: readonly [length: number, width: number] | null;
  readonly build: BuildPackage;
}

/** A kind of package: its usual construction, and the lead-frame shapes it comes with. */
export interface PackageFamily {
  readonly usual: Omit<Construction, "id" | "family" | "variant" | "padMm">;
  readonly variants: Readonly<Record<string, FamilyVariant>>;
}

const gold = { material: "gold", diameterMm: 0.025 } as const;

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
  wire: gold,
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

/**
 * Package families by name. Outer dimensions are those usual for the package (body, pitch, lead width as in
 * public land-pattern collections); everything inside is invented.
 */
export const packageFamilies = {
  "SO-8": {
    usual: { ...soUsual, bodyMm: [4.9, 3.9], dieMm: [1.62, 1.28, 0.28] },
    variants: {
      A: { padMm: [2.35, 1.9], build: twoRowPackage({ ...soA, pins: 8, holesInLeads: [1, 2] }) },
      B: { padMm: [2.75, 1.66], build: twoRowPackage({ ...soB, pins: 8, holesInLeads: [0, 3] }) },
      C: {
        padMm: [2.3, 1.8],
        build: twoRowPackage({ ...soA, pins: 8, holesInLeads: [], tie: "single", padHoles: [[0, 0, 0.2]] }),
      },
    },
  },
  "SO-14": {
    usual: { ...soUsual, bodyMm: [8.65, 3.9], dieMm: [2.1, 1.45, 0.28] },
    variants: {
      A: { padMm: [3.2, 2.0], build: twoRowPackage({ ...soA, pins: 14, holesInLeads: [0, 6] }) },
      B: { padMm: [2.9, 2.2], build: twoRowPackage({ ...soB, pins: 14, holesInLeads: [] }) },
    },
  },
  "SO-16": {
    usual: { ...soUsual, bodyMm: [9.9, 3.9], dieMm: [2.3, 1.5, 0.28] },
    variants: {
      A: { padMm: [3.7, 2.0], build: twoRowPackage({ ...soA, pins: 16, tie: "single", holesInLeads: [] }) },
      B: { padMm: [3.2, 2.2], build: twoRowPackage({ ...soB, pins: 16, holesInLeads: [0, 7] }) },
    },
  },
  "TSOP-54": {
    usual: {
      frameMaterial: "alloy42",
      frameThicknessMm: 0.127,
      bodyMm: [22.22, 10.16],
      bodyThicknessMm: 1.0,
      dieMm: [10.4, 5.5, 0.25],
      wire: gold,
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
  "QFN-32": {
    usual: {
      frameMaterial: "copper",
      frameThicknessMm: 0.2,
      bodyMm: [5.0, 5.0],
      bodyThicknessMm: 0.85,
      dieMm: [2.3, 2.05, 0.2],
      wire: gold,
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
} as const satisfies Readonly<Record<string, PackageFamily>>;

/** Name of a package family. */
export type FamilyName = keyof typeof packageFamilies;

/** The family and variant of a construction. @throws LotSpecError for a name that is not known */
export function familyVariant(
  family: string,
  variant: string,
): { family: PackageFamily; variant: FamilyVariant } {
  const families: Readonly<Record<string, PackageFamily>> = packageFamilies;
  const found = families[family];
  if (found === undefined) {
    throw new LotSpecError("family", `one of ${Object.keys(families).join(", ")}`, family);
  }
  const shape = found.variants[variant];
  if (shape === undefined) {
    throw new LotSpecError(
      "variant",
      `one of ${Object.keys(found.variants).join(", ")} for ${family}`,
      variant,
    );
  }
  return { family: found, variant: shape };
}

/** A construction with a family's usual contents, changed where `changes` says so. */
export function constructionOf(
  id: string,
  family: FamilyName,
  variant: string,
  changes: Partial<Omit<Construction, "id" | "family" | "variant">> = {},
): Construction {
  const found = familyVariant(family, variant);
  return { ...found.family.usual, padMm: found.variant.padMm, ...changes, id, family, variant };
}
