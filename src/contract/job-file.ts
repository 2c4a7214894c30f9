import { z } from "zod";
import { JobFileError } from "./errors.ts";

/** Name and version of the job file. */
export const jobSchemaName = "candler.job/1";

const text = z.string().min(1).max(2000);
const optionalText = text.exactOptional();
const positive = z.number().positive();
const day = z.iso.date().describe("YYYY-MM-DD");
const moment = z.iso.datetime({ offset: true }).describe("ISO 8601 with zone");

/** A step of the work that a person recorded. */
const recordedStepSchema = z.strictObject({
  step: z.enum(["told", "note"]),
  at: moment,
  by: text,
  because: text,
});

/** The job file: what the customer and the lab know of a job besides its pictures. All optional, strictly typed. */
export const jobFileSchema = z
  .strictObject({
    schema: z.literal(jobSchemaName).exactOptional(),
    note: optionalText.describe("printed as it is, as for an invented example"),
    job: optionalText.describe("job number"),
    part: optionalText.describe("part number as ordered"),
    maker: optionalText,
    lot: optionalText,
    code: optionalText.describe("date or lot code of every part that the codes table gives none"),
    quantity: z.int().positive().exactOptional().describe("parts in the whole lot"),
    sample: z
      .strictObject({
        how: z.enum(["random", "stratified", "systematic", "as-supplied", "all"]).exactOptional(),
        sampleOf: optionalText.describe("what it was drawn from"),
        size: z.int().positive().exactOptional().describe("parts planned"),
        says: optionalText,
      })
      .exactOptional(),
    requestedBy: optionalText,
    examiner: z
      .strictObject({ name: text, qualification: optionalText, level: optionalText })
      .exactOptional(),
    reviewer: z
      .strictObject({ name: text, qualification: optionalText, level: optionalText })
      .exactOptional(),
    instrument: z
      .strictObject({ id: text, calibrationDue: day.exactOptional(), says: optionalText })
      .exactOptional(),
    techniqueSheet: z
      .strictObject({
        id: optionalText,
        kv: positive.exactOptional(),
        ua: positive.exactOptional(),
        filter: optionalText,
        sod: positive.exactOptional().describe("source to object, mm"),
        sdd: positive.exactOptional().describe("source to detector, mm"),
        frames: z.int().positive().exactOptional(),
      })
      .exactOptional(),
    decisionRule: z
      .strictObject({ text, agreedOn: day.exactOptional(), agreedBy: optionalText })
      .exactOptional(),
    exemplars: z
      .array(z.strictObject({ picture: text, code: optionalText, source: optionalText, proof: optionalText }))
      .exactOptional(),
    sensitivity: z
      .number()
      .gt(0)
      .lte(1)
      .exactOptional()
      .describe("share of differing parts that the inspection notices"),
    codes: optionalText.describe("path of the codes table, from the job file's folder"),
    steps: z.array(recordedStepSchema).exactOptional(),
    retentionUntil: day.exactOptional(),
  })
  .meta({ id: "LotJob", title: jobSchemaName });

export type JobFile = z.infer<typeof jobFileSchema>;

/**
 * A job file from its text.
 *
 * @param name of the file, for messages
 * @throws JobFileError naming the key, what was expected and, for an unknown key, those known
 */
export function readJobFile(json: string, name: string): JobFile {
  let value: unknown;
  try {
    value = JSON.parse(json.replace(/^\ufeff/, ""));
  } catch (error) {
    throw new JobFileError(`expected JSON, and it is not: ${(error as Error).message}`, {
      file: name,
      cause: error,
    });
  }
  const read = jobFileSchema.safeParse(value);
  if (read.success) return read.data;
  const says = read.error.issues.slice(0, 3).map((issue) => {
    const at = issue.path.join(".");
    if (issue.code === "unrecognized_keys") {
      const keys = issue.keys.map((key) => `"${key}"`).join(", ");
      return `unknown ${issue.keys.length === 1 ? "key" : "keys"} ${keys}${at === "" ? "" : ` in "${at}"`}; known there: ${knownKeys(issue.path).join(", ")}`;
    }
    return `${at === "" ? "the file" : `"${at}"`}: ${issue.message}`;
  });
  throw new JobFileError(says.join("; "), { file: name });
}

/** The keys that the schema knows at a place of the file. */
function knownKeys(path: readonly PropertyKey[]): string[] {
  let schema: z.ZodType = jobFileSchema;
  for (const step of path) {
    schema = withoutOptional(schema);
    if (schema instanceof z.ZodObject) schema = schema.shape[step as string];
    else if (schema instanceof z.ZodArray) schema = schema.element as z.ZodType;
  }
  const object = withoutOptional(schema);
  return object instanceof z.ZodObject ? Object.keys(object.shape) : [];
}

function withoutOptional(schema: z.ZodType): z.ZodType {
  return schema instanceof z.ZodExactOptional || schema instanceof z.ZodOptional
    ? withoutOptional(schema.unwrap() as z.ZodType)
    : schema;
}

/** The JSON Schema (2020-12) of the job file. */
export function jobJsonSchema(): object {
  return z.toJSONSchema(jobFileSchema);
}
