import { resolve } from "node:path";
import { toDocumentPicture } from "../contract/document-schema.ts";
import { ResumeError } from "../contract/errors.ts";
import type { JobFile } from "../contract/job-file.ts";
import type { LotCodes } from "../contract/lot-codes.ts";
import { lotCodes } from "../contract/lot-codes.ts";
import type { LotDocument } from "../contract/lot-document.ts";
import { orderedSteps, readStoppedLot, resumedSteps } from "../contract/lot-steps.ts";
import type { LotStep } from "../contract/lot-work-schema.ts";
import { printable } from "../contract/printable.ts";
import { toLotDocument } from "../contract/to-lot-document.ts";
import { portionsSay } from "../judgement/portions-say.ts";
import { noScale, typedScale } from "../radiograph/scale.ts";
import type { AlignedView } from "../report/lot-report.ts";
import type { PairedPicture } from "./calibration-frames.ts";
import { pairCalibrationFrames } from "./calibration-frames.ts";
import { UsageError } from "./errors.ts";
import { inputFiles } from "./input-files.ts";
import type { Inspect, InspectorSettings, LotStaff } from "./inspect-files.ts";
import { usualStaff, withInspector } from "./inspect-files.ts";
import type { InspectedView } from "./judge-views.ts";
import { judgeViews, knownOfParts, stoppedStep } from "./judge-views.ts";
import type { LotRequest } from "./lot-request.ts";
import type { Progress } from "./progress.ts";
import { readCodes } from "./read-codes.ts";
import { readJob } from "./read-job.ts";
import { fileSha256, readTextFile } from "./read-text-file.ts";
import { inspectUntilSuspect } from "./stop-at-first.ts";

/** A finished run: the document, and the pictures it rests on, one set a view. */
export interface LotRun {
  readonly document: LotDocument;
  readonly aligned: readonly AlignedView[];
}

/** The inspection without any output. */
export async function runLot(
  request: LotRequest,
  progress: Progress,
  staff: LotStaff = usualStaff(),
): Promise<LotRun> {
  const startedAt = new Date().toISOString();
  const started = performance.now();
  const said = { options: request.options, codes: request.codes ?? null, exemplars: request.exemplars ?? [] };
  const settled = request.job ? readJob(request.job, said) : { ...said, job: null, overruled: [] };
  const { options, job } = settled;
  const given = pairCalibrationFrames(inputFiles(request.inputs), {
    flats: request.flat,
    darks: request.dark,
  });
  const exemplarFiles = inputFiles(settled.exemplars);
  const { pictures: paired, ignored } = withoutExemplars(given, exemplarFiles);
  const names = paired.map(({ picture }) => picture);
  const codes =
    settled.codes === null ? null : asUsage(() => lotCodes(readCodes(settled.codes as string), names));
  const views = codes?.views ?? [];
  refuseTogether(request, settled.exemplars.length, views);
  const resumed = request.resume ? resumeSteps(request.resume, names, startedAt) : [];
  const { scaleUmPerPx } = options;
  const settings = {
    scale: scaleUmPerPx === null ? noScale : typedScale(scaleUmPerPx),
    staff,
    options,
    exemplars: exemplarFiles.map((picture) => ({ picture, flats: [], darks: [] })),
    ofOtherCode: otherCodeThan(codes, job),
    progress,
    ...(request.together ? { together: request.together } : {}),
  };
  const { inspectedViews, taken } = await withInspector(settings, (inspect) =>
    inspectViews(paired, views, codes, request.stopAtFirstSuspect ?? false, inspect),
  );
  const unreadable = inspectedViews.flatMap(({ inspected }) => inspected.unreadable);
  for (const { picture, reason } of unreadable) progress.note(printable(`${picture}: ${reason}`));
  const found = inspectedViews.flatMap(({ inspected }) => inspected.findings.parts);
  if (codes) asUsage(() => codes.requireFound(found));

  const { codesOf, remarks } = knownOfParts(codes, job, request.tape ?? null, names, found);
  const notInspected = names.slice(taken);
  const { judged, physical } = judgeViews(inspectedViews, views, codesOf, {
    quantity: options.quantity,
    sensitivity: job?.sensitivity ?? 1,
    notInspected: notInspected.length,
  });
  const stopped = notInspected.length > 0 ? [stoppedStep(judged, names, taken, startedAt, job)] : [];
  const says = stopped.length
    ? `The inspection was stopped at the first suspect, after ${taken} of ${names.length} pictures. ${judged.says}`
    : judged.says;
  const portions = inspectedViews.flatMap(({ inspected }) => inspected.portions);
  const document = toLotDocument(
    { ...judged, says },
    inspectedViews.flatMap(({ inspected }) => inspected.pictures).map(toDocumentPicture),
    unreadable,
    [...ignored, ...inspectedViews.flatMap(({ inspected }) => inspected.empty)],
    { ...options, ...recordedOptions(request, settled.codes, job) },
    { startedAt, millis: Math.round(performance.now() - started), node: process.version },
    onePerPicture(inspectedViews.flatMap(({ inspected }) => inspected.exemplarPictures)).map(
      toDocumentPicture,
    ),
    {
      codesOf,
      job,
      overruled: [...settled.overruled],
      views: [...views],
      physicalParts: physical.map((part) => ({ ...part, views: [...part.views] })),
      steps: orderedSteps([...resumed, ...stopped], job, Date.parse),
      notInspected,
      portions: portions.map((portion) => ({ ...portion, pictures: [...portion.pictures] })),
      remarks: [...remarks, ...portionsSay(portions)],
    },
  );
  const aligned = inspectedViews.map(({ view, inspected }) => ({
    view,
    aligned: inspected.findings.aligned,
  }));
  return { document, aligned };
}

/** Each view as a lot of its own; one view, or none given, as one lot. `taken`: pictures inspected. */
async function inspectViews(
  paired: readonly PairedPicture[],
  views: readonly string[],
  codes: LotCodes | null,
  stop: boolean,
  inspect: Inspect,
): Promise<{ inspectedViews: InspectedView[]; taken: number }> {
  if (views.length < 2) {
    const view = views[0] ?? null;
    if (!stop) return { inspectedViews: [{ view, inspected: await inspect(paired) }], taken: paired.length };
    const { inspected, taken } = await inspectUntilSuspect(paired, inspect);
    return { inspectedViews: [{ view, inspected }], taken };
  }
  const inspectedViews: InspectedView[] = [];
  for (const view of views) {
    const own = paired.filter(({ picture }) => codes?.viewOf(picture) === view);
    inspectedViews.push({ view, inspected: await inspect(own) });
  }
  return { inspectedViews, taken: paired.length };
}

/** The lot's pictures without those that were given for exemplars too. */
function withoutExemplars(
  { pictures, ignored }: ReturnType<typeof pairCalibrationFrames>,
  exemplars: readonly string[],
): ReturnType<typeof pairCalibrationFrames> {
  const files = new Set(exemplars.map((file) => resolve(file)));
  const isExemplar = ({ picture }: { readonly picture: string }) => files.has(resolve(picture));
  const because = "it was given as an exemplar, and is compared as one";
  return {
    pictures: pictures.filter((one) => !isExemplar(one)),
    ignored: [...ignored, ...pictures.filter(isExemplar).map(({ picture }) => ({ picture, because }))],
  };
}

/** Whether an exemplar's code, given in the job file, is known to be another than a part's. */
function otherCodeThan(codes: LotCodes | null, job: JobFile | null): InspectorSettings["ofOtherCode"] {
  return (exemplarPicture, part) => {
    const stated = job?.exemplars?.find(
      ({ picture }) => picture === exemplarPicture || exemplarPicture.endsWith(`/${picture}`),
    );
    const own = codes?.of(part).code ?? job?.code ?? null;
    return Boolean(stated?.code && own && stated.code !== own);
  };
}

function resumeSteps(
  { previous, by, because }: NonNullable<LotRequest["resume"]>,
  pictures: readonly string[],
  at: string,
): LotStep[] {
  return asUsage(() => {
    const stopped = readStoppedLot(readTextFile(previous, "the document of the stopped inspection"));
    return resumedSteps(stopped, pictures.map(fileSha256), { at, by, because });
  });
}

function refuseTogether(
  { stopAtFirstSuspect, tape }: LotRequest,
  exemplars: number,
  views: readonly string[],
): void {
  if (views.length < 2) return;
  if (exemplars > 0)
    throw new UsageError(
      "An exemplar shows one view, and the codes table gives several; compare each view's pictures with its exemplar in a run of its own.",
    );
  if (stopAtFirstSuspect)
    throw new UsageError(
      "--stop-at-first-suspect goes through pictures of one view; the codes table gives several.",
    );
  if (tape !== undefined && tape !== null)
    throw new UsageError("--tape counts pictures of one view; give positions in the codes table instead.");
}

/** What the document records besides the method's options, as far as it was asked for. */
function recordedOptions(
  request: LotRequest,
  codes: string | null,
  job: JobFile | null,
): Record<string, unknown> {
  return {
    ...(codes === null ? {} : { codes }),
    ...(request.tape === undefined || request.tape === null ? {} : { tape: request.tape }),
    ...(request.together ? { together: request.together } : {}),
    ...(request.stopAtFirstSuspect ? { stopAtFirstSuspect: true } : {}),
    ...(job?.sensitivity === undefined ? {} : { sensitivity: job.sensitivity }),
  };
}

/** Errors of tables and records as wrong use. */
function asUsage<T>(act: () => T): T {
  try {
    return act();
  } catch (error) {
    const known =
      error instanceof ResumeError || (error instanceof Error && error.name === "CodesTableError");
    if (known) throw new UsageError((error as Error).message, { cause: error });
    throw error;
  }
}

function onePerPicture<T extends { readonly picture: string }>(pictures: readonly T[]): T[] {
  return [...new Map(pictures.map((picture) => [picture.picture, picture])).values()];
}
