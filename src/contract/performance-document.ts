import { z } from "zod";
import { runSchema } from "./document-schema.ts";

/** Name and version of the document. */
export const performanceSchemaName = "candler.performance/1";

const shareSchema = z
  .strictObject({
    count: z.int().nonnegative(),
    of: z.int().nonnegative(),
    share: z.number().min(0).max(1).nullable().describe("null: nothing was to be counted"),
    low: z.number().min(0).max(1).nullable(),
    high: z.number().min(0).max(1).nullable().describe("exact (Clopper-Pearson) two-sided 95 % interval"),
  })
  .meta({ id: "CountedShare" });

const namesSchema = z.array(z.string());

const lotSchema = z
  .strictObject({
    seed: z.int().nonnegative(),
    parts: z.int().nonnegative(),
    toFind: z.int().nonnegative(),
    found: z.int().nonnegative(),
    missed: z.array(z.strictObject({ part: z.string(), is: z.string(), as: z.string() })),
    falselySuspect: namesSchema,
    falselyCalled: namesSchema,
    falselySplit: z.boolean(),
    toldApart: z.boolean().nullable(),
    notJudged: namesSchema,
    conclusion: z.string(),
  })
  .meta({ id: "PerformanceLot" });

/** Detection performance of a planned inspection, found on simulated lots of known truth. */
export const performanceDocumentSchema = z
  .strictObject({
    schema: z.literal(performanceSchemaName),
    method: z.strictObject({ id: z.literal("lot"), version: z.string() }),
    invented: z.literal(true).describe("parts are invented and pictures simulated"),
    options: z.strictObject({
      preset: z.string(),
      seed: z.int().nonnegative().describe("of the first lot; each next lot has the next"),
      lots: z.int().positive(),
      parts: z.int().positive().nullable().describe("null: as the preset"),
      kv: z.number().positive().nullable(),
      umPerPx: z.number().positive().nullable(),
      openBeamSnr: z.number().positive().nullable(),
    }),
    plan: z.strictObject({
      description: z.string(),
      parts: z.int().positive(),
      packages: namesSchema,
      umPerPx: z.number().positive(),
      exposures: z.array(
        z.strictObject({
          kv: z.number().positive(),
          filterMm: z.record(z.string(), z.number().nonnegative()),
          openBeamSnr: z.number().positive(),
        }),
      ),
    }),
    says: namesSchema,
    assumed: namesSchema,
    detected: shareSchema.describe("odd parts named suspect"),
    detectedByKind: z.array(z.strictObject({ what: z.string(), detected: shareSchema })),
    falselySuspect: shareSchema.describe("sound parts named suspect"),
    falselyCalled: shareSchema.describe("sound parts with a call"),
    falselySplit: shareSchema.describe("lots in which one construction stands in several groups"),
    withFalseSuspect: shareSchema.describe("lots with a sound part named suspect"),
    anythingFalse: shareSchema.describe("lots falsely split, or with a sound part suspect or called"),
    toldApart: shareSchema.describe(
      "lots of several constructions, none of them odd, in groups of their own",
    ),
    notJudged: shareSchema.describe("parts not found or not assessable"),
    lots: z.array(lotSchema),
    run: runSchema,
  })
  .meta({ title: performanceSchemaName });

export type PerformanceDocument = z.infer<typeof performanceDocumentSchema>;

/** The JSON Schema (2020-12) of the performance document. */
export function performanceJsonSchema(): object {
  return z.toJSONSchema(performanceDocumentSchema);
}
