import type { LotOptions } from "../inspections/lot/options.ts";
import type { LotCompared, LotExemplar, LotPart, LotReason } from "../inspections/lot/result.ts";
import type { JudgedLot } from "../judgement/judge-lot.ts";
import { roundAt, roundMeasured } from "../judgement/measured-text.ts";
import type { BoxPx, PointPx } from "../numeric/image.ts";
import type { Measured } from "../units/measured.ts";
import type { DocumentIgnored, DocumentPicture, DocumentRun, DocumentUnreadable } from "./document-schema.ts";
import { NotFiniteError } from "./errors.ts";
import type { PartCodes } from "./lot-codes.ts";
import { noCodes } from "./lot-codes.ts";
import type { LotDocument, LotDocumentPart } from "./lot-document.ts";
import { lotSchemaName } from "./lot-document.ts";
import type { LotWorkRecord } from "./lot-work-schema.ts";

/** What surrounds an inspection: the job, its steps, what is known of each part. */
export interface LotWorkAround extends Partial<Omit<LotWorkRecord, "bounds" | "questions" | "next">> {
  readonly codesOf?: (part: { readonly id: string; readonly picture: string }) => PartCodes;
}

/**
 * The JSON document of a lot as judged: numbers are rounded for output.
 *
 * Rounding: U to two significant digits and the value to the same place; points and boxes to 0.01 px;
 * turns to 0.001 degree; relative scale to 0.00001; oddness and contrast-to-noise to three significant digits.
 *
 * @param options what was asked, as recorded; more keys than the method's own are kept
 * @throws NotFiniteError when a number is NaN or infinite
 */
export function toLotDocument(
  result: JudgedLot,
  pictures: readonly DocumentPicture[],
  unreadable: readonly DocumentUnreadable[],
  ignored: readonly DocumentIgnored[],
  options: LotOptions & Readonly<Record<string, unknown>>,
  run: DocumentRun,
  exemplarPictures: readonly DocumentPicture[] = [],
  around: LotWorkAround = {},
): LotDocument {
  const { codesOf = () => noCodes } = around;
  const document: LotDocument = {
    schema: lotSchemaName,
    method: { id: result.method.id, version: result.method.version },
    options: { ...options, bodyMm: options.bodyMm === null ? null : [options.bodyMm[0], options.bodyMm[1]] },
    pictures: [...pictures],
    exemplarPictures: [...exemplarPictures],
    unreadable: [...unreadable],
    ignored: [...ignored],
    conclusion: result.conclusion,
    says: result.says,
    identity: result.identity,
    suspects: [...result.suspects],
    lotSuspect: { ...result.lotSuspect },
    assurance: result.assurance,
    groups: result.groups.map((group) => ({
      name: group.name,
      size: group.size,
      parts: [...group.parts],
      againstExemplar: group.againstExemplar,
      differsFrom: group.differsFrom.map((other) => ({
        group: other.group,
        because: other.because.map(roundedReason),
        heldOut: {
          ...other.heldOut,
          on: [...other.heldOut.on],
          p: other.heldOut.p === null ? null : Number(other.heldOut.p.toPrecision(3)),
        },
      })),
    })),
    exemplars: result.exemplars.map((exemplar) => ({
      ...placedPart(exemplar),
      against: exemplar.against.map((a) => ({
        group: a.group,
        verdict: a.verdict,
        otherCode: a.otherCode,
        because: a.because.map(roundedReason),
        compared: a.compared.map(roundedCompared),
        says: a.says,
      })),
    })),
    compared: result.compared.map(roundedCompared),
    parts: result.parts.map((part) => toDocumentPart(part, codesOf(part))),
    job: around.job ?? null,
    overruled: around.overruled ?? [],
    bounds: result.bounds.map((bound) => ({ ...bound, share: Number(bound.share.toPrecision(4)) })),
    views: around.views ?? [],
    physicalParts: around.physicalParts ?? [],
    steps: around.steps ?? [],
    notInspected: around.notInspected ?? [],
    portions: around.portions ?? [],
    questions: [...result.questions],
    next: [...result.next],
    remarks: around.remarks ?? [],
    run,
  };
  requireFinite(document, "");
  return document;
}

function roundedReason({ measurement, by }: LotReason) {
  return { measurement, by: rounded(by) };
}

function roundedCompared({ characteristic, assessable, because, smallestDetectable }: LotCompared) {
  return { characteristic, assessable, because, smallestDetectable: rounded(smallestDetectable) };
}

/** What parts of the lot and exemplars have in common. */
function placedPart(part: LotPart | LotExemplar) {
  const [first, second, third, fourth] = part.cornersPx;
  return {
    id: part.id,
    picture: part.picture,
    cornersPx: [
      roundPoint(first),
      roundPoint(second),
      roundPoint(third),
      roundPoint(fourth),
    ] satisfies LotDocumentPart["cornersPx"],
    assessable: part.assessable,
    because: part.because,
    pose: {
      turn: roundAt(part.pose.turn, 3),
      mirrored: part.pose.mirrored,
      ambiguousWith: part.pose.ambiguousWith.map(({ turn, mirrored }) => ({
        turn: roundAt(turn, 3),
        mirrored,
      })),
    },
    relativeScale: roundAt(part.relativeScale, 5),
    measurements: Object.fromEntries(
      Object.entries(part.measurements).map(([name, measured]) => [name, rounded(measured)]),
    ),
  };
}

function toDocumentPart(part: LotPart, { code, position, view, name, sample }: PartCodes): LotDocumentPart {
  return {
    ...placedPart(part),
    code,
    position,
    view,
    name,
    sample,
    group: part.group,
    suspect: part.suspect,
    wires: part.wires.map(({ lead, state, fromPx, toPx, contrastToNoise }) => ({
      lead,
      state,
      fromPx: roundPoint(fromPx),
      toPx: roundPoint(toPx),
      contrastToNoise: Number(contrastToNoise.toPrecision(3)),
    })),
    leadEnds: part.leadEnds.map((end) => ({ ...end, tipPx: roundPoint(end.tipPx) })),
    calls: part.calls.map(({ kind, boxPx, says }) => ({ kind, boxPx: roundBox(boxPx), says })),
    oddness: Number(part.oddness.toPrecision(3)),
  };
}

function rounded(measured: Measured): Measured {
  const finite = measured.value === null || (Number.isFinite(measured.value) && Number.isFinite(measured.U));
  return finite ? roundMeasured(measured) : measured;
}

function roundPoint([x, y]: PointPx): [number, number] {
  return [roundAt(x, 2), roundAt(y, 2)];
}

function roundBox([x, y, width, height]: BoxPx): [number, number, number, number] {
  return [roundAt(x, 2), roundAt(y, 2), roundAt(width, 2), roundAt(height, 2)];
}

function requireFinite(value: unknown, path: string): void {
  if (typeof value === "number" && !Number.isFinite(value)) throw new NotFiniteError(path, value);
  if (typeof value !== "object" || value === null) return;
  for (const [key, item] of Object.entries(value)) {
    const step = Array.isArray(value) ? `[${key}]` : path === "" ? key : `.${key}`;
    requireFinite(item, path + step);
  }
}
