import type { AffineMap } from "../align/similarity.ts";
import { applyMap, invertMap } from "../align/similarity.ts";
import { commonFolder, commonStart, inFolder } from "../contract/common-folder.ts";
import type { LotDocument, LotDocumentPart } from "../contract/lot-document.ts";
import type { LotAligned } from "../inspections/lot/result.ts";
import type { BoxPx, Image } from "../numeric/image.ts";
import type { DisplayWindow } from "./display-picture.ts";
import { displayWindow } from "./display-picture.ts";
import type { EncodePng, Mark, ScaleBar } from "./picture-figure.ts";

/** One aligned part with what the document says of it. */
export interface AlignedPart {
  readonly attenuation: Image;
  readonly toPicture: AffineMap;
  readonly difference: Image;
}

/** What the sections of a lot report draw from. */
export interface LotReportView {
  readonly document: LotDocument;
  /** From which side; null where the lot was seen from one. */
  readonly view: string | null;
  /** Begins the ids of its drawn layers: one report may hold several views. */
  readonly layerPrefix: string;
  readonly width: number;
  readonly height: number;
  readonly window: DisplayWindow;
  readonly encodePng: EncodePng;
  /** Group names: those all of whose parts are suspect first, then by size. */
  readonly groupOrder: readonly string[];
  /** Parts in that order of groups, the oddest first in each, parts without a group last. */
  readonly ordered: readonly LotDocumentPart[];
  readonly alignedById: ReadonlyMap<string, AlignedPart>;
  readonly averageByGroup: ReadonlyMap<string, Image>;
  /** The largest group's name, or null. */
  readonly mainGroup: string | null;
  /** A part's name without what all pictures' names begin with. */
  readonly shortName: (name: string) => string;
  /** A file's name without the folder that all pictures share. */
  readonly fileName: (name: string) => string;
  /** What `shortName` leaves out of a file's name; empty when nothing. */
  readonly leftOut: string;
  readonly folder: string;
}

/**
 * Puts a document and its aligned pictures side by side for drawing.
 *
 * @param view draws only what belongs to this view of several; null: the whole document
 */
export function lotReportView(
  whole: LotDocument,
  aligned: LotAligned,
  encodePng: EncodePng,
  view: string | null = null,
): LotReportView {
  const document = view === null ? whole : documentOfView(whole, view);
  const names = document.pictures.map(({ picture }) => picture);
  const folder = commonFolder(names);
  const start = commonStart(names);
  const averages = aligned.averages.map(({ attenuation }) => attenuation);
  const oddFirst = [...document.groups].sort(
    (a, b) => Number(isOdd(document, b.name)) - Number(isOdd(document, a.name)),
  );
  const groupOrder = oddFirst.map(({ name }) => name);
  const rankOf = ({ group }: LotDocumentPart) =>
    group === null ? groupOrder.length : groupOrder.indexOf(group);
  const at = view === null ? -1 : whole.views.indexOf(view);
  return {
    document,
    view,
    layerPrefix: at < 0 ? "" : `view-${at}-`,
    width: aligned.width,
    height: aligned.height,
    window: displayWindow(
      averages.length > 0 ? averages : aligned.parts.map(({ attenuation }) => attenuation),
    ),
    encodePng,
    groupOrder,
    ordered: [...document.parts].sort(
      (a, b) => rankOf(a) - rankOf(b) || Number(b.suspect) - Number(a.suspect) || b.oddness - a.oddness,
    ),
    alignedById: new Map(aligned.parts.map((part) => [part.id, part])),
    averageByGroup: new Map(
      aligned.averages.map(({ group, attenuation }) => [
        view === null ? group : `${view} ${group}`,
        attenuation,
      ]),
    ),
    mainGroup: document.groups[0]?.name ?? null,
    shortName: (name) => inFolder(name, start),
    fileName: (name) => inFolder(name, folder),
    leftOut: start.slice(folder.length),
    folder,
  };
}

/** The parts of one view, with their groups. */
function documentOfView(document: LotDocument, view: string): LotDocument {
  const parts = document.parts.filter((part) => part.view === view);
  const ids = new Set(parts.map(({ id }) => id));
  const groups = document.groups.filter((group) => group.parts.some((id) => ids.has(id)));
  return { ...document, parts, groups, suspects: document.suspects.filter((id) => ids.has(id)) };
}

/** Id of a group's average among the report's drawn layers. */
export function averageLayerId(view: LotReportView, group: string): string {
  return `${view.layerPrefix}average-${view.document.groups.findIndex(({ name }) => name === group)}`;
}

/** A part's calls as boxes in the aligned frame, numbered from 1 unless `numbered` is false. */
export function marksOf(view: LotReportView, part: LotDocumentPart, numbered: boolean): Mark[] {
  const aligned = view.alignedById.get(part.id);
  if (aligned === undefined) return [];
  const toAligned = invertMap(aligned.toPicture);
  return part.calls.map(({ boxPx }, at) => ({
    boxPx: mapBox(toAligned, boxPx),
    label: numbered ? String(at + 1) : "",
  }));
}

/** A bar of a round length near a quarter of the frame, or null without a scale. */
export function scaleBarOf(view: LotReportView, part: LotDocumentPart | undefined): ScaleBar | null {
  const aligned = part === undefined ? undefined : view.alignedById.get(part.id);
  const picture = view.document.pictures.find(({ picture }) => picture === part?.picture);
  if (aligned === undefined || picture === undefined || picture.scale.umPerPx === null) return null;
  const { a, b, d, e } = aligned.toPicture;
  const umPerPx = picture.scale.umPerPx * Math.sqrt(Math.abs(a * e - b * d));
  const roomUm = 0.3 * view.width * umPerPx;
  const lengths = [5, 2, 1].map((first) => first * 10 ** Math.floor(Math.log10(roomUm)));
  const lengthUm = lengths.find((length) => length <= roomUm) ?? lengths[2];
  return {
    lengthPx: lengthUm / umPerPx,
    label: lengthUm >= 100 ? `${lengthUm / 1000} mm` : `${lengthUm} µm`,
  };
}

function isOdd({ parts }: LotDocument, group: string): boolean {
  return parts.every((part) => part.group !== group || part.suspect);
}

function mapBox(map: AffineMap, [x, y, width, height]: BoxPx): BoxPx {
  const corners = [
    applyMap(map, [x, y]),
    applyMap(map, [x + width, y]),
    applyMap(map, [x, y + height]),
    applyMap(map, [x + width, y + height]),
  ];
  const xs = corners.map((corner) => corner[0]);
  const ys = corners.map((corner) => corner[1]);
  const left = Math.min(...xs);
  const top = Math.min(...ys);
  return [left, top, Math.max(...xs) - left, Math.max(...ys) - top];
}
