import type { Construction } from "../construction.ts";
import { LotSpecError } from "../errors.ts";
import type { FamilyVariant, PackageFamily } from "./family.ts";
import { leadedFamilies } from "./leaded-families.ts";
import { otherFamilies } from "./other-families.ts";

/**
 * Package families by name. Outer dimensions are those usual for the package (body, pitch, lead width as in
 * public land-pattern collections); everything inside is invented.
 */
export const packageFamilies = { ...leadedFamilies, ...otherFamilies } as const;

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
