import { ResumeError } from "./errors.ts";
import type { JobFile } from "./job-file.ts";
import type { LotDocument } from "./lot-document.ts";
import { lotDocumentSchema } from "./lot-document.ts";
import type { LotStep } from "./lot-work-schema.ts";

/** Who orders a stopped inspection to go on, when and why. */
export interface ResumeOrder {
  readonly at: string;
  readonly by: string;
  readonly because: string;
}

/**
 * The steps of a job file and of the record, in order of time (those of one moment as they come).
 *
 * @param momentMs milliseconds of an ISO 8601 text with zone; handed in, as the core knows no calendar
 */
export function orderedSteps(
  recorded: readonly LotStep[],
  job: JobFile | null,
  momentMs: (iso: string) => number,
): LotStep[] {
  const told = (job?.steps ?? []).map((step): LotStep => ({ ...step, after: null, suspects: [] }));
  const known = new Set(recorded.map(keyOf));
  return [...recorded, ...told.filter((step) => !known.has(keyOf(step)))].sort(
    (a, b) => momentMs(a.at) - momentMs(b.at),
  );
}

function keyOf({ step, at, by, because }: LotStep): string {
  return JSON.stringify([step, at, by, because]);
}

/**
 * The record of a stopped inspection from its document.
 *
 * @throws ResumeError when the text is no document of a lot, or of one that was not stopped
 */
export function readStoppedLot(json: string): LotDocument {
  let value: unknown;
  try {
    value = JSON.parse(json);
  } catch (error) {
    throw new ResumeError("expected the JSON document of the stopped inspection, and it is not JSON.", {
      cause: error,
    });
  }
  const read = lotDocumentSchema.safeParse(value);
  if (!read.success) {
    const [issue] = read.error.issues;
    throw new ResumeError(
      `expected a candler.lot/1 document as written by this version; ${issue.path.join(".") || "the file"}: ${issue.message}`,
    );
  }
  if (!read.data.steps.some(({ step }) => step === "stopped") || read.data.notInspected.length === 0)
    throw new ResumeError(
      "the document is of an inspection that was not stopped: there is nothing to go on with.",
    );
  return read.data;
}

/**
 * The steps so far with the order to go on, once it is sure that the pictures inspected before are here unchanged.
 *
 * @param present SHA-256 of every picture given now
 * @throws ResumeError naming the pictures that are gone or changed
 */
export function resumedSteps(
  previous: LotDocument,
  present: readonly string[],
  { at, by, because }: ResumeOrder,
): LotStep[] {
  const here = new Set(present);
  const gone = previous.pictures.filter(({ sha256 }) => !here.has(sha256)).map(({ picture }) => picture);
  if (gone.length > 0)
    throw new ResumeError(
      `${gone.length} of ${previous.pictures.length} pictures inspected before the stop are not among those given, or were changed (by SHA-256): ${gone.slice(0, 5).join(", ")}. Give them as they were, with the rest.`,
    );
  return [...previous.steps, { step: "resumed", at, by, because, after: null, suspects: [] }];
}
