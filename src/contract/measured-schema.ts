import { z } from "zod";
import type { NoNumber, Unit } from "../units/measured.ts";

const units = ["px", "mm", "um", "deg", "1", "percent"] as const satisfies readonly Unit[];

const reasons = [
  "no-scale",
  "saturated",
  "not-visible",
  "not-present",
  "not-assessed",
  "out-of-field",
  "perspective",
  "too-few",
] as const satisfies readonly NoNumber[];

const withNumber = z.strictObject({
  value: z.number(),
  U: z.number().nonnegative().describe("expanded uncertainty, same unit as value"),
  k: z.number().positive().describe("coverage factor of U"),
  unit: z.enum(units),
  note: z.string().exactOptional(),
});

const withoutNumber = z.strictObject({
  value: z.null(),
  unit: z.enum(units),
  because: z.enum(reasons).describe("why there is no number"),
});

/** A quantity with its doubt, or the reason it has no number. */
export const measuredSchema = z.union([withNumber, withoutNumber]).meta({ id: "Measured" });
