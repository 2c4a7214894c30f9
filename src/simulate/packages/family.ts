import type { BuildPackage, Construction } from "../construction.ts";

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

/** The usual bond wire. */
export const goldWire = { material: "gold", diameterMm: 0.025 } as const;
