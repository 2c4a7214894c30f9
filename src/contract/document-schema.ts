import { z } from "zod";
import { roundByDoubt } from "../judgement/measured-text.ts";
import type { Radiograph } from "../radiograph/radiograph.ts";

/** A picture that was read, as every document lists it. */
export const pictureSchema = z
  .strictObject({
    picture: z.string().describe("the name the inspector gave"),
    sha256: z
      .string()
      .regex(/^[0-9a-f]{64}$/)
      .describe("of the file's bytes"),
    width: z.int().positive(),
    height: z.int().positive(),
    polarity: z.enum(["dense-is-dark", "dense-is-bright", "unknown"]),
    polarityBecause: z.enum(["metadata", "noise", "background", "person", "lot", "undecided"]),
    scale: z.strictObject({
      umPerPx: z.number().positive().nullable(),
      U: z.number().nonnegative().nullable().describe("expanded uncertainty (k = 2); null when not known"),
      origin: z.enum(["reference-length", "technique-geometry", "calibrated-tag", "typed", "none"]),
    }),
    lossy: z.boolean().describe("true when the file's coding lost information"),
    notes: z.array(z.string()),
  })
  .meta({ id: "Picture" });

/** A file that could not be read; the rest of the batch is done. */
export const unreadableSchema = z
  .strictObject({ picture: z.string(), reason: z.string() })
  .meta({ id: "Unreadable" });

/** A file left out on purpose: a calibration frame paired with its picture, a duplicate. */
export const ignoredSchema = z
  .strictObject({ picture: z.string(), because: z.string() })
  .meta({ id: "Ignored" });

/** Times and host facts: outside what is compared between two runs. */
export const runSchema = z
  .looseObject({
    startedAt: z.string().describe("ISO 8601, with zone"),
    millis: z.number().nonnegative(),
  })
  .meta({ id: "Run" });

export const boxPxSchema = z
  .tuple([z.number(), z.number(), z.number().nonnegative(), z.number().nonnegative()])
  .describe("[x, y, width, height] px in the original picture, pixel centres at integers");

export const pointPxSchema = z.tuple([z.number(), z.number()]).describe("[x, y] px in the original picture");

export type DocumentPicture = z.infer<typeof pictureSchema>;
export type DocumentUnreadable = z.infer<typeof unreadableSchema>;
export type DocumentIgnored = z.infer<typeof ignoredSchema>;
export type DocumentRun = z.infer<typeof runSchema>;

/** What a document takes from a radiograph. */
type PictureFacts = Pick<
  Radiograph,
  "picture" | "sha256" | "widthPx" | "heightPx" | "polarity" | "scale" | "lossy" | "notes"
>;

/** What a document says of a radiograph. */
export function toDocumentPicture(facts: PictureFacts): DocumentPicture {
  const { picture, sha256, widthPx, heightPx, polarity, scale, lossy, notes } = facts;
  return {
    picture,
    sha256,
    width: widthPx,
    height: heightPx,
    polarity: polarity.value,
    polarityBecause: polarity.because,
    scale: roundScale(scale),
    lossy,
    notes: [...notes],
  };
}

function roundScale(scale: Radiograph["scale"]): DocumentPicture["scale"] {
  if (scale.umPerPx === null) return { umPerPx: null, U: null, origin: "none" };
  const { value, U } = roundByDoubt(scale.umPerPx, scale.U ?? 0);
  return { umPerPx: value, U: scale.U === null ? null : U, origin: scale.origin };
}
