import type { Image } from "../../../numeric/image.ts";
import { median } from "../../../numeric/order.ts";
import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";
import { rectangleCorners } from "../../../numeric/oriented-rectangle.ts";
import type { FittedRectangle } from "../../../numeric/rectangle-edges.ts";
import { reduceBy } from "../../../numeric/resample.ts";
import type { Radiograph } from "../../../radiograph/radiograph.ts";
import { fitBody } from "./body-edges.ts";
import { aroundPiece, coarseBody, edgeDirections, reachFrom } from "./body-rectangle.ts";
import { partAtGaps } from "./part-gaps.ts";
import type { LevelCut, Piece, Plateau } from "./part-levels.ts";
import { cutAtLevel } from "./part-levels.ts";
import { standingPlateaus } from "./part-plateaus.ts";
import { splitTouching } from "./split-touching.ts";

/** A part found in a picture; lengths and places in px of the original picture. */
export interface FoundPart {
  /** Body outline, long side as length. */
  readonly body: OrientedRectangle;
  /** The sub-pixel fit behind `body`; null when the edges could not be fitted and `body` is coarse. */
  readonly fit: FittedRectangle | null;
  /** How far the part (leads included) reaches from the body centre along and across the body, px. */
  readonly reachPx: readonly [along: number, across: number];
  /** The picture's edge cuts it. */
  readonly cutByEdge: boolean;
  /** True when the part is the whole picture: nothing in it stands apart from its surroundings. */
  readonly wholeField: boolean;
}

export interface FoundParts {
  /** In reading order. */
  readonly parts: readonly FoundPart[];
  /** Attenuation level at which the parts were separated from the field; null in a whole-field picture. */
  readonly level: number | null;
}

/** Longer side of the reduced picture: the first is enough for one part alone, several need their gaps resolved. */
const reducedLongestPx = [300, 640, 1300] as const;
/** A part's short side must be at least this many px of the original. */
const leastSidePx = 12;

/** A picture prepared for finding parts: what could be a part, before the lot decides what is. */
export interface PartCandidates {
  readonly attenuation: Image;
  readonly reduced: Image;
  readonly reducedBy: number;
  readonly plateaus: readonly Plateau[];
}

/** Looks for plateaus of the reduced picture: levels at which equal-sized solid pieces stand apart. */
export function partCandidates(radiograph: Radiograph): PartCandidates {
  const [coarse, usual, fine] = reducedLongestPx;
  const first = candidatesAt(radiograph, coarse);
  if (first.reducedBy === 1 || (fills(first) && !mayHideGaps(first))) return first;
  const second = candidatesAt(radiograph, usual);
  if (second.reducedBy === 1 || !(fills(second) && mayHideGaps(second))) return second;
  const third = candidatesAt(radiograph, fine);
  return third.plateaus[0] && third.plateaus[0].count > 1 ? third : second;
}

/** One piece takes up a good part of the picture. */
function fills({ plateaus: [first], reduced }: PartCandidates): boolean {
  return first?.count === 1 && first.unitAreaPx > 0.1 * reduced.data.length;
}

/** Several equal pieces hold a good part of the first: they may be in as many parts, the gaps too narrow to be seen. */
function mayHideGaps({ plateaus: [first, ...denser] }: PartCandidates): boolean {
  return denser.some((p) => p.count > 1 && p.count * p.unitAreaPx > 0.25 * (first?.unitAreaPx ?? 0));
}

function candidatesAt(radiograph: Radiograph, longestPx: number): PartCandidates {
  const { widthPx: width, heightPx: height, attenuation: data, noise } = radiograph;
  const attenuation: Image = { width, height, data };
  const reducedBy = Math.max(1, Math.ceil(Math.max(width, height) / longestPx));
  const reduced = reducedBy > 1 ? reduceBy(attenuation, reducedBy) : attenuation;
  const sigma = Math.sqrt(Math.max(0, noise.a + noise.b)) / reducedBy;
  const plateaus = standingPlateaus(reduced, sigma, (leastSidePx / reducedBy) ** 2);
  return { attenuation, reduced, reducedBy, plateaus };
}

/**
 * Finds the parts of one picture.
 *
 * @param lot what the lot's other pictures agree on, when known: the plateau nearest to its size is taken (else
 *   the most transparent one), and a picture with only cut parts is cut at its level
 */
export function findParts(candidates: PartCandidates, lot: LotUnit | null): FoundParts {
  const { attenuation, reduced, reducedBy, plateaus } = candidates;
  const unitAreaPx = lot?.areaPx ?? null;
  const plateau = choosePlateau(plateaus, unitAreaPx === null ? null : unitAreaPx / reducedBy ** 2);
  const level = plateau ? Math.sqrt(plateau.from * plateau.to) : (lot?.level ?? null);
  if (level === null) return { parts: [], level: null };
  const whole = cutAtLevel(reduced, level);
  const parted = plateau?.touching ? partAtGaps(reduced, level) : null;
  const unit = unitAreaPx === null ? (parted ?? whole).unitAreaPx : unitAreaPx / reducedBy ** 2;
  const pieces = parted
    ? [...piecesOf(parted.cut, parted.parts, unit), ...untouched(whole, parted.cut, unit)]
    : piecesOf(whole, whole.pieces, unit);
  const parts = pieces.map((one) => describePart(attenuation, reduced, reducedBy, one.cut, one.piece));
  return { parts: inReadingOrder(parts.filter((p) => p.body.widthPx >= leastSidePx)), level };
}

/** Pieces of about a part's size, larger ones split. */
function piecesOf(cut: LevelCut, pieces: readonly Piece[], unit: number): { cut: LevelCut; piece: Piece }[] {
  return pieces.flatMap((piece) => {
    if (piece.filledPx < 0.3 * unit) return [];
    return piece.filledPx > 1.5 * unit ? splitTouching(cut, piece, unit) : [{ cut, piece }];
  });
}

/** What was too thin to have a core: parts of which the picture's edge leaves little. */
function untouched(whole: LevelCut, parted: LevelCut, unit: number): { cut: LevelCut; piece: Piece }[] {
  const taken = new Set<number>();
  for (let i = 0; i < whole.labels.length; i++) if (parted.labels[i]) taken.add(whole.labels[i] as number);
  return piecesOf(
    whole,
    whole.pieces.filter((p) => !taken.has(p.label)),
    unit,
  );
}

/** What most pictures of a lot agree on about a part's outline. */
export interface LotUnit {
  /** Size of one part, px of the original squared. */
  readonly areaPx: number;
  /** Attenuation level that separates parts from the field. */
  readonly level: number;
}

/** The size and level on which most pictures of a lot agree; null when none has parts. */
export function lotUnit(lot: readonly Pick<PartCandidates, "plateaus" | "reducedBy">[]): LotUnit | null {
  const first = lot.flatMap((c) => {
    const p = c.plateaus[0];
    return p ? [{ areaPx: p.unitAreaPx * c.reducedBy ** 2, level: Math.sqrt(p.from * p.to) }] : [];
  });
  if (!first.length) return null;
  return { areaPx: median(first.map((u) => u.areaPx)), level: median(first.map((u) => u.level)) };
}

/** Units differing from the lot's by more than this logarithm of their areas are not the lot's parts. */
const farOff = 0.4;

/** Of the plateaus whose units have the lot's size (or the most transparent one's), the one with most of them. */
function choosePlateau(plateaus: readonly Plateau[], unitAreaPx: number | null): Plateau | null {
  const size = unitAreaPx ?? plateaus[0]?.unitAreaPx;
  if (size === undefined) return null;
  const off = (p: Plateau) => Math.abs(Math.log(p.unitAreaPx / size));
  const nearest = Math.min(...plateaus.map(off));
  // Nothing of the lot's size stands free here (the border cuts what does): better cut at the lot's level.
  if (unitAreaPx !== null && nearest > farOff) return null;
  const alike = plateaus.filter((p) => off(p) < nearest + 0.15);
  return alike.reduce<Plateau | null>((best, p) => (!best || p.count > best.count ? p : best), null);
}

/**
 * A body holds most of its part. What holds less than this share of the matter that hangs together is a pad: the mould
 * does not show (in a saturated field), so the body is taken to be all of the lead frame, without an outline.
 */
const leastBodyShare = 0.5;

/** A rectangle of the reduced picture in pixels of the original. */
function atFullSize(rect: OrientedRectangle, reducedBy: number): OrientedRectangle {
  const scale = (v: number) => v * reducedBy + (reducedBy - 1) / 2;
  return {
    centrePx: [scale(rect.centrePx[0]), scale(rect.centrePx[1])],
    angleRad: rect.angleRad,
    lengthPx: rect.lengthPx * reducedBy,
    widthPx: rect.widthPx * reducedBy,
  };
}

function describePart(
  attenuation: Image,
  reduced: Image,
  reducedBy: number,
  cut: LevelCut,
  piece: Piece,
): FoundPart {
  const [likeliest, ...others] = edgeDirections(reduced, cut, piece) as [number, ...number[]];
  const startAt = (angleRad: number) => atFullSize(coarseBody(cut, piece, angleRad), reducedBy);
  const start = startAt(likeliest);
  const cutByEdge = piece.touchesBorder && leavesPicture(start, attenuation, 1.5 * reducedBy);
  const fitted = cutByEdge
    ? null
    : fitBody(attenuation, [() => start, ...others.map((angle) => () => startAt(angle))], reducedBy);
  const found = fitted?.rectangle ?? start;
  const hidden = found.lengthPx * found.widthPx < leastBodyShare * piece.areaPx * reducedBy ** 2;
  const fit = hidden ? null : fitted;
  const body = hidden && !cutByEdge ? atFullSize(aroundPiece(cut, piece, found.angleRad), reducedBy) : found;
  const [along, across] = reachFrom(body, attenuation, reducedBy, cut, piece);
  const turned = body.widthPx > body.lengthPx;
  return {
    body: turned
      ? {
          centrePx: body.centrePx,
          angleRad: body.angleRad + Math.PI / 2,
          lengthPx: body.widthPx,
          widthPx: body.lengthPx,
        }
      : body,
    fit,
    reachPx: turned ? [across, along] : [along, across],
    cutByEdge,
    wholeField: false,
  };
}

/** Whether a body reaches the picture's edge. Lead tips alone beyond it leave a part assessable. */
function leavesPicture(body: OrientedRectangle, { width, height }: Image, marginPx: number): boolean {
  return rectangleCorners(body).some(
    ([x, y]) => x < marginPx || y < marginPx || x > width - 1 - marginPx || y > height - 1 - marginPx,
  );
}

/** Rows first (parts whose centres lie within half a part's height), then left to right. */
function inReadingOrder(parts: readonly FoundPart[]): FoundPart[] {
  const rows: FoundPart[][] = [];
  for (const part of [...parts].sort((p, q) => p.body.centrePx[1] - q.body.centrePx[1])) {
    const row = rows[rows.length - 1];
    const halfHeight = verticalExtent(part) / 2;
    if (row && part.body.centrePx[1] - median(row.map((p) => p.body.centrePx[1])) < halfHeight)
      row.push(part);
    else rows.push([part]);
  }
  return rows.flatMap((row) => row.sort((p, q) => p.body.centrePx[0] - q.body.centrePx[0]));
}

function verticalExtent(part: FoundPart): number {
  const { lengthPx, widthPx, angleRad } = part.body;
  return Math.abs(lengthPx * Math.sin(angleRad)) + Math.abs(widthPx * Math.cos(angleRad));
}

/** The whole picture as one part: for pictures cut from a larger one, where nothing stands in open field. */
export function wholeFieldPart(widthPx: number, heightPx: number): FoundPart {
  const turned = heightPx > widthPx;
  return {
    body: {
      centrePx: [(widthPx - 1) / 2, (heightPx - 1) / 2],
      angleRad: turned ? Math.PI / 2 : 0,
      lengthPx: Math.max(widthPx, heightPx),
      widthPx: Math.min(widthPx, heightPx),
    },
    fit: null,
    reachPx: [Math.max(widthPx, heightPx) / 2, Math.min(widthPx, heightPx) / 2],
    cutByEdge: false,
    wholeField: true,
  };
}
