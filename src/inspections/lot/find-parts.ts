import type { Image } from "../../numeric/image.ts";
import { median, quantile } from "../../numeric/order.ts";
import type { OrientedRectangle } from "../../numeric/oriented-rectangle.ts";
import { rectangleCorners } from "../../numeric/oriented-rectangle.ts";
import type { FittedRectangle } from "../../numeric/rectangle-edges.ts";
import { reduceBy } from "../../numeric/resample.ts";
import type { Radiograph } from "../../radiograph/radiograph.ts";
import { coarseBody, edgeDirection, fitBody } from "./body-rectangle.ts";
import { partTouching } from "./part-cores.ts";
import type { LevelCut, Piece, Plateau } from "./part-levels.ts";
import { cutAtLevel, findPlateaus, rectangleShare } from "./part-levels.ts";
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
const reducedLongestPx = { one: 300, several: 640 } as const;
/** A part's short side must be at least this many px of the original. */
const leastSidePx = 12;
const leastOpenBorder = 0.3;

/** A picture prepared for finding parts: what could be a part, before the lot decides what is. */
export interface PartCandidates {
  readonly attenuation: Image;
  readonly reduced: Image;
  readonly reducedBy: number;
  readonly plateaus: readonly Plateau[];
}

/** Looks for plateaus of the reduced picture: levels at which equal-sized solid pieces stand apart. */
export function partCandidates(radiograph: Radiograph): PartCandidates {
  const coarse = candidatesAt(radiograph, reducedLongestPx.one);
  const first = coarse.plateaus[0];
  const fills = first && first.unitAreaPx > 0.1 * coarse.reduced.data.length;
  if (coarse.reducedBy === 1 || (first?.count === 1 && fills)) return coarse;
  return candidatesAt(radiograph, reducedLongestPx.several);
}

function candidatesAt(radiograph: Radiograph, longestPx: number): PartCandidates {
  const { widthPx: width, heightPx: height, attenuation: data, noise } = radiograph;
  const attenuation: Image = { width, height, data };
  const reducedBy = Math.max(1, Math.ceil(Math.max(width, height) / longestPx));
  const reduced = reducedBy > 1 ? reduceBy(attenuation, reducedBy) : attenuation;
  const sigma = Math.sqrt(Math.max(0, noise.a + noise.b)) / reducedBy;
  const leastAreaPx = (leastSidePx / reducedBy) ** 2;
  const none = { attenuation, reduced, reducedBy, plateaus: [] };
  if (openBorder(reduced, sigma) < leastOpenBorder) return none;
  const plateaus = takenApart(reduced, findPlateaus(reduced, sigma)).filter(
    (p) => isWide(p) && p.solidity > 0.9 && p.rectangularity > 0.5 && p.unitAreaPx > leastAreaPx,
  );
  const standing = plateaus.filter(
    (p, i) =>
      !isPocket(p, plateaus.slice(i + 1)) &&
      !isTray(p, plateaus.slice(i + 1)) &&
      !insideSomethingLarger(reduced, p),
  );
  return { ...none, plateaus: standing };
}

/** Levels over a factor of 1.4 show the same pieces. */
const isWide = (p: Plateau): boolean => Math.log(p.to / p.from) > 0.35;

/**
 * The plateaus with touching parts taken apart. The most transparent plateau that holds over a wide enough range is
 * that of the bodies; what comes apart at denser ones is inside them.
 */
function takenApart(reduced: Image, plateaus: readonly Plateau[]): Plateau[] {
  const first = plateaus.findIndex(isWide);
  return plateaus.map((p, i) => {
    const parted = i === first ? partTouching(cutAtLevel(reduced, Math.sqrt(p.from * p.to))) : null;
    if (!parted) return p;
    const { count, unitAreaPx, cut, parts } = parted;
    const rectangularity = median(parts.filter((q) => !q.touchesBorder).map((q) => rectangleShare(cut, q)));
    return { ...p, count, unitAreaPx, solidity: 1, rectangularity, touching: true };
  });
}

/**
 * Whether a plateau's pieces are features of something larger that the picture cuts (a die pad in a part that
 * fills the field): at half their level they melt, most of them, into one solid piece that runs out of the
 * picture and is more than twice as large as all that stands free.
 */
function insideSomethingLarger(reduced: Image, plateau: Plateau): boolean {
  const { units, pieces: standing } = cutAtLevel(reduced, plateau.from);
  const around = cutAtLevel(reduced, 0.5 * Math.sqrt(plateau.from * plateau.to));
  const pieces = new Map(around.pieces.map((p) => [p.label, p]));
  const freePx = standing.reduce((sum, p) => sum + (p.touchesBorder ? 0 : p.filledPx), 0);
  const melted = units.filter((u) => {
    const at = Math.round(u.centroidPx[1]) * reduced.width + Math.round(u.centroidPx[0]);
    const piece = pieces.get(around.labels[at] as number);
    return piece?.touchesBorder && piece.areaPx > 0.9 * piece.filledPx && piece.areaPx > 2 * freePx;
  });
  return melted.length > 0.5 * units.length;
}

/**
 * Share of the picture's border that is open field. Parts stand apart only where the field around them is
 * seen; a picture wholly inside a part or a board has no such border.
 */
function openBorder({ width, height, data }: Image, noise: number): number {
  const level = Math.max(6 * noise, 0.08 * quantile(data, 0.985));
  let open = 0;
  const look = (i: number) => {
    if ((data[i] as number) < level) open++;
  };
  for (let x = 0; x < width; x++) {
    look(x);
    look((height - 1) * width + x);
  }
  for (let y = 0; y < height; y++) {
    look(y * width);
    look(y * width + width - 1);
  }
  return open / (2 * (width + height));
}

/**
 * A tray pocket or a tape floor encloses each part one to one and is far more transparent
 * (a tenth of the part's own level or less: common practice).
 */
function isPocket(outer: Plateau, denser: readonly Plateau[]): boolean {
  return denser.some(
    (inner) =>
      Math.abs(inner.count - outer.count) <= 0.1 * outer.count &&
      inner.unitAreaPx < 0.85 * outer.unitAreaPx &&
      inner.unitAreaPx > 0.2 * outer.unitAreaPx &&
      outer.to < 0.12 * inner.to,
  );
}

/**
 * A tray's walls around all its pockets make one solid piece: at a denser plateau it falls into three or more equal
 * compact pieces that hold at least half of it. (The leads and the pad inside one body hold less, or are not equal.)
 */
function isTray(outer: Plateau, denser: readonly Plateau[]): boolean {
  return denser.some((inner) => {
    const share = inner.unitAreaPx / outer.unitAreaPx;
    const times = inner.count / outer.count;
    return times >= 3 && share > 0.02 && share * times > 0.5 && inner.rectangularity > 0.7;
  });
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
  const parted = plateau?.touching ? partTouching(whole) : null;
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

/** Of the plateaus whose units have the lot's size (or the most transparent one's), the one with most of them. */
function choosePlateau(plateaus: readonly Plateau[], unitAreaPx: number | null): Plateau | null {
  const size = unitAreaPx ?? plateaus[0]?.unitAreaPx;
  if (size === undefined) return null;
  const off = (p: Plateau) => Math.abs(Math.log(p.unitAreaPx / size));
  const nearest = Math.min(...plateaus.map(off));
  const alike = plateaus.filter((p) => off(p) < nearest + 0.15);
  return alike.reduce<Plateau | null>((best, p) => (!best || p.count > best.count ? p : best), null);
}

function describePart(
  attenuation: Image,
  reduced: Image,
  reducedBy: number,
  cut: LevelCut,
  piece: Piece,
): FoundPart {
  const coarse = coarseBody(cut, piece, edgeDirection(reduced, cut, piece));
  const scale = (v: number) => v * reducedBy + (reducedBy - 1) / 2;
  const start: OrientedRectangle = {
    centrePx: [scale(coarse.centrePx[0]), scale(coarse.centrePx[1])],
    angleRad: coarse.angleRad,
    lengthPx: coarse.lengthPx * reducedBy,
    widthPx: coarse.widthPx * reducedBy,
  };
  const cutByEdge = piece.touchesBorder && leavesPicture(start, attenuation, 1.5 * reducedBy);
  const fit = cutByEdge ? null : fitBody(attenuation, start, reducedBy);
  const body = fit?.rectangle ?? start;
  const reach: [number, number] = [coarse.reachPx[0] * reducedBy, coarse.reachPx[1] * reducedBy];
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
    reachPx: turned ? [reach[1], reach[0]] : reach,
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
