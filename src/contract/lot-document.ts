import { z } from "zod";
import type { ExemplarVerdict, LotCallKind } from "../inspections/lot/result.ts";
import {
  boxPxSchema,
  ignoredSchema,
  pictureSchema,
  pointPxSchema,
  runSchema,
  unreadableSchema,
} from "./document-schema.ts";
import { lotWorkShape, partCodesShape } from "./lot-work-schema.ts";
import { measuredSchema } from "./measured-schema.ts";

/** Name and version of the document. */
export const lotSchemaName = "candler.lot/1";

const callKinds = [
  "absent-die",
  "die",
  "lead-frame",
  "wire-absent",
  "wire-broken",
  "wire-elsewhere",
  "foreign",
  "prior-use",
  "other",
] as const satisfies readonly LotCallKind[];

const callSchema = z
  .strictObject({ kind: z.enum(callKinds), boxPx: boxPxSchema, says: z.string() })
  .meta({ id: "LotCall" });

const wireSchema = z
  .strictObject({
    lead: z
      .int()
      .positive()
      .describe("inner lead end, clockwise from the top left as aligned; not a pin number"),
    state: z.enum(["seen", "absent", "broken", "elsewhere", "unclear", "not-assessable"]),
    fromPx: pointPxSchema,
    toPx: pointPxSchema,
    contrastToNoise: z.number().nonnegative(),
  })
  .meta({ id: "LotWire" });

const leadEndSchema = z
  .strictObject({
    lead: z.int().positive().describe("as in wires; not a pin number"),
    tipPx: pointPxSchema,
    fusedToPad: z.boolean().nullable().describe("null: cannot be seen"),
  })
  .meta({ id: "LotLeadEnd" });

const turnSchema = z.number().gt(-180.0005).lte(180).describe("degrees, clockwise on screen");

const poseSchema = z.strictObject({
  turn: turnSchema,
  mirrored: z.boolean(),
  ambiguousWith: z.array(z.strictObject({ turn: turnSchema, mirrored: z.boolean() })),
});

const partSchema = z
  .strictObject({
    id: z.string(),
    picture: z.string(),
    ...partCodesShape,
    cornersPx: z.tuple([pointPxSchema, pointPxSchema, pointPxSchema, pointPxSchema]),
    group: z.string().nullable(),
    suspect: z.boolean(),
    assessable: z.boolean(),
    because: z.string().nullable().describe("why not assessable"),
    pose: poseSchema,
    relativeScale: z.number().positive(),
    measurements: z.record(z.string(), measuredSchema),
    wires: z.array(wireSchema),
    leadEnds: z.array(leadEndSchema),
    calls: z.array(callSchema),
    oddness: z.number().nonnegative().describe("1 is the limit at which a call is made"),
  })
  .meta({ id: "LotPart" });

const reasonSchema = z
  .strictObject({ measurement: z.string(), by: measuredSchema })
  .meta({ id: "LotReason" });

const heldOutSchema = z
  .strictObject({
    p: z.number().min(0).max(1).nullable().describe("adjusted for everything tested; null: not tested"),
    on: z.array(z.string()),
    says: z.string(),
  })
  .meta({ id: "HeldOutTest" });

const verdicts = ["agrees", "differs", "not-comparable"] as const satisfies readonly ExemplarVerdict[];

const groupSchema = z
  .strictObject({
    name: z.string(),
    size: z.int().nonnegative(),
    parts: z.array(z.string()),
    againstExemplar: z.enum([...verdicts, "no-exemplar"]),
    differsFrom: z.array(
      z.strictObject({ group: z.string(), because: z.array(reasonSchema), heldOut: heldOutSchema }),
    ),
  })
  .meta({ id: "LotGroup" });

const comparedSchema = z
  .strictObject({
    characteristic: z.string(),
    assessable: z.boolean(),
    because: z.string(),
    smallestDetectable: measuredSchema,
  })
  .meta({ id: "LotCompared" });

const exemplarSchema = z
  .strictObject({
    ...partSchema.pick({
      id: true,
      picture: true,
      cornersPx: true,
      assessable: true,
      because: true,
      pose: true,
      relativeScale: true,
      measurements: true,
    }).shape,
    against: z.array(
      z.strictObject({
        group: z.string(),
        verdict: z.enum(verdicts),
        otherCode: z.boolean().describe("all its parts are known to carry another code than the exemplar"),
        because: z.array(reasonSchema),
        compared: z.array(comparedSchema),
        says: z.string(),
      }),
    ),
  })
  .meta({ id: "LotExemplar" });

const optionsSchema = z.looseObject({
  scaleUmPerPx: z.number().positive().nullable(),
  bodyMm: z.tuple([z.number().positive(), z.number().positive()]).nullable(),
  quantity: z.int().positive().nullable(),
});

/** The JSON document of a lot: what was found, how sure, in what, by which method. */
export const lotDocumentSchema = z
  .strictObject({
    schema: z.literal(lotSchemaName),
    method: z.strictObject({ id: z.literal("lot"), version: z.string() }),
    options: optionsSchema,
    pictures: z.array(pictureSchema),
    exemplarPictures: z.array(pictureSchema),
    unreadable: z.array(unreadableSchema),
    ignored: z.array(ignoredSchema),
    conclusion: z.enum(["consistent", "mixed", "not-assessable"]),
    says: z.string(),
    identity: z.enum(["agrees-with-exemplar", "differs", "not-comparable", "no-exemplar"]),
    suspects: z.array(z.string()),
    lotSuspect: z.strictObject({ value: z.boolean(), because: z.string() }),
    assurance: z.string(),
    groups: z.array(groupSchema),
    exemplars: z.array(exemplarSchema),
    compared: z.array(comparedSchema),
    parts: z.array(partSchema),
    ...lotWorkShape,
    run: runSchema,
  })
  .meta({ title: lotSchemaName });

export type LotDocument = z.infer<typeof lotDocumentSchema>;
export type LotDocumentPart = LotDocument["parts"][number];

/** The JSON Schema (2020-12) of the lot document. */
export function lotJsonSchema(): object {
  return z.toJSONSchema(lotDocumentSchema);
}
