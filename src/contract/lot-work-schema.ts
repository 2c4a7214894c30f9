import { z } from "zod";
import { jobFileSchema } from "./job-file.ts";

/** What a person knows of a part: from the codes table, the job file or `--tape`. */
export const partCodesShape = {
  code: z.string().nullable().describe("date or lot code"),
  position: z.string().nullable().describe("along the tape or in the tray"),
  view: z.string().nullable(),
  name: z.string().nullable().describe("of the physical part, where it is seen in several views"),
  sample: z.string().nullable(),
};

const stepSchema = z
  .strictObject({
    step: z.enum(["stopped", "told", "resumed", "note"]),
    at: z.string().describe("ISO 8601 with zone"),
    by: z.string().nullable(),
    because: z.string(),
    after: z.string().nullable().describe("last picture inspected before a stop"),
    suspects: z.array(z.string()),
  })
  .meta({ id: "LotStep" });

const boundSchema = z
  .strictObject({
    confidence: z.number().gt(0).lt(1),
    atMost: z.int().nonnegative().describe("differing parts in the lot, those found included"),
    mayRemain: z.int().nonnegative(),
    share: z.number().min(0).max(1).describe("mayRemain in the lot"),
  })
  .meta({ id: "LotBound" });

const physicalPartSchema = z
  .strictObject({
    name: z.string(),
    suspect: z.boolean().describe("in any view"),
    says: z.string(),
    views: z.array(
      z.strictObject({
        view: z.string(),
        part: z.string(),
        group: z.string().nullable(),
        suspect: z.boolean(),
        assessable: z.boolean(),
      }),
    ),
  })
  .meta({ id: "PhysicalPart" });

const portionSchema = z
  .strictObject({
    pictures: z.array(z.string()),
    parts: z.int().nonnegative().describe("found in them"),
    says: z.string().describe("what it holds, and how it is held together with the portions before"),
  })
  .meta({ id: "LotPortion" });

/** What the document holds of the work around an inspection. */
export const lotWorkShape = {
  job: jobFileSchema.nullable().describe("as read"),
  overruled: z.array(z.string()).describe("where the command line said otherwise than the job file"),
  bounds: z.array(boundSchema).describe("what may remain in the lot; empty where nothing is stated"),
  views: z.array(z.string()),
  physicalParts: z.array(physicalPartSchema),
  steps: z.array(stepSchema),
  notInspected: z.array(z.string()).describe("pictures left out because the inspection was stopped"),
  portions: z
    .array(portionSchema)
    .describe("in which a lot was inspected that is too large to be compared at once; empty for one go"),
  questions: z.array(z.string()).describe("for the maker"),
  next: z.array(z.string()).describe("steps proposed"),
  remarks: z.array(z.string()),
};

export type LotStep = z.infer<typeof stepSchema>;
export type LotWorkRecord = z.infer<z.ZodObject<typeof lotWorkShape>>;
