import type { AffineMap } from "../../../align/similarity.ts";
import { applyMap, composeMaps, invertMap } from "../../../align/similarity.ts";
import type { BoxPx, Image } from "../../../numeric/image.ts";
import { median } from "../../../numeric/order.ts";
import { growRectangle } from "../../../numeric/oriented-rectangle.ts";
import type { Scale } from "../../../radiograph/radiograph.ts";
import type { ComparedLot } from "../grouping/compare-lot.ts";
import { outlineMask } from "../grouping/compare-lot.ts";
import { dieComparison } from "../grouping/die-comparison.ts";
import { isSpeck, leastWeight, weightLimit } from "../grouping/fold-specks.ts";
import { groupMembers } from "../grouping/group-parts.ts";
import { compareMask } from "../grouping/pair-difference.ts";
import type { DifferingPlace, GroupNorm, PartDifference } from "../grouping/part-difference.ts";
import { groupNorm, partDifference } from "../grouping/part-difference.ts";
import type { PlacedItem } from "../lot-item.ts";
import type { MeasuredLot } from "../measuring/measure-lot.ts";
import type { PlacedLot } from "../placing/place-lot.ts";
import { inCompare, smallBody } from "../placing/place-lot.ts";
import type { LotCall } from "../result.ts";
import { absentDies } from "./absent-dies.ts";
import { callOddPart } from "./call-odd-part.ts";
import { lengthText } from "./length-text.ts";
import { unmovedPlaces } from "./moved-edge.ts";
import { boxThrough, intoPicture } from "./picture-box.ts";
import { variesBeside } from "./varies-beside.ts";

/** A nameless difference that was called. */
export interface PlaceCall {
  readonly call: LotCall;
  readonly sign: 1 | -1;
  /** Mean attenuation difference. */
  readonly by: number;
  /** Upright, in the frame; null on the die, which is compared on its own outline. */
  readonly framePx: BoxPx | null;
  /** Against which it differs. */
  readonly than: Than;
}

type Than = "its group" | "the dies of its group" | "the largest group" | "all other parts";

/** What is called on one part, and how odd it is within its group (1: the limit of a call). */
export interface CalledPart {
  readonly calls: readonly LotCall[];
  /** Those of the calls that have no name yet but what differs. */
  readonly places: readonly PlaceCall[];
  readonly oddness: number;
  /** Signed difference in units of its tolerance, at compare size; for the overlay. */
  readonly excess: Image;
}

const mostCalls = 6;
/** A part on which nothing is called is below the limit, however far it lies from its group's middle. */
const mostUncalled = 0.99;
/** A group of at least this many parts says what belongs in each of them. */
const leastGroup = 4;

/**
 * Calls on every part against its own group: the frame in the lot's frame, the die on its own outline. Parts of the
 * odd groups are also called against the largest one.
 *
 * @param odd groups held to be the odd ones of the lot
 * @param scale in which sizes are said
 */
export function callDifferences(
  lot: PlacedLot,
  measured: MeasuredLot,
  compared: ComparedLot,
  odd: ReadonlySet<number>,
  scale: Scale,
): CalledPart[] {
  const whole = compareMask(lot.middle.width, lot.middle.height, smallBody(lot.frame, lot.by));
  const outline = outlineMask(lot, measured);
  const members = groupMembers(compared.groupOf);
  const norms = members.map((own) => groupNorm(lot, own));
  const dieGone = absentDies(lot, measured, compared, odd);
  // A die that is there is compared on its own, or where it could not be measured not at all: its attach is no matter.
  const own = lot.items.map((_, i) =>
    partDifference(lot, i, norms[compared.groupOf[i] as number] as GroupNorm, dieGone[i] ? whole : outline),
  );
  const limits = members.map((of) => weightLimit(of.map((i) => own[i] as PartDifference)));
  const { widthPx } = smallBody(lot.frame, lot.by);
  const placesAgainst = (difference: PartDifference, group: number) =>
    unmovedPlaces(difference, (norms[group] as GroupNorm).middle, widthPx, lot.slackPx);
  const dies = dieDifferences(lot, measured, compared);
  return lot.items.map((_, i) => {
    const group = compared.groupOf[i] as number;
    const calls: LotCall[] = [];
    const places: PlaceCall[] = [];
    const callPlaces = (found: readonly PlaceCall[]) => {
      places.push(...found);
      calls.push(...found.map(({ call }) => call));
    };
    let oddness = Math.min(mostUncalled, distanceTo(compared, i, members[group] as number[]));
    const gone = dieGone[i];
    if (gone) {
      calls.push(gone);
      oddness = 2;
    }
    const difference = own[i] as PartDifference;
    const die = dies.get(i);
    if ((members[group] as number[]).length >= leastGroup) {
      const limit = limits[group] as number;
      for (const place of placesAgainst(difference, group)) {
        if (gone && inDie(place, measured, lot)) continue;
        const { spread } = norms[group] as GroupNorm;
        const lenient =
          isStrip(place, lot.slackPx) || variesBeside(place, difference.excess, spread, lot.tolerance);
        const most = limit * (lenient ? stripLeniency : 1);
        oddness = Math.max(oddness, place.weight / most);
        if (place.weight > most) {
          callPlaces([
            callPlace(lot, measured, scale, i, place, intoPicture(lot, i, place.boxPx), "its group"),
          ]);
        }
      }
      for (const place of die?.places ?? []) {
        if (isVoid(place, measured, lot)) continue;
        const { limit } = die as DieDifference;
        const most = limit * (isStrip(place, lot.slackPx) ? stripLeniency : 1);
        oddness = Math.max(oddness, place.weight / most);
        if (place.weight > most) {
          const boxPx = boxThrough((die as DieDifference).toPicture, place.boxPx, lot.items[i] as PlacedItem);
          callPlaces([callPlace(lot, measured, scale, i, place, boxPx, "the dies of its group")]);
        }
      }
    }
    if (odd.has(group)) {
      oddness = Math.max(oddness, 1, distanceTo(compared, i, members[0] as number[]));
      const against = callOddPart(lot, measured, compared, i, scale);
      calls.push(...against.calls);
      if (against.frameDiffers) {
        const where = against.dieDiffers || gone ? outline : whole;
        const alone = (members[group] as number[]).length === 1 && !against.calls.length;
        const fromLargest = placesAgainst(partDifference(lot, i, norms[0] as GroupNorm, where), 0);
        callPlaces(callsAgainstLargest(lot, measured, scale, i, fromLargest, alone));
      }
    }
    const excess = die ? withDie(lot, i, difference.excess, die) : difference.excess;
    return { calls: calls.slice(0, mostCalls), places, oddness, excess };
  });
}

interface DieDifference {
  readonly difference: PartDifference;
  /** Those of its places that are no edge lying a little elsewhere. */
  readonly places: readonly DifferingPlace[];
  readonly limit: number;
  readonly toPicture: AffineMap;
  readonly toPatch: AffineMap;
}

/** Each die against the dies of its group, by part. */
function dieDifferences(
  lot: PlacedLot,
  measured: MeasuredLot,
  compared: ComparedLot,
): Map<number, DieDifference> {
  const found = new Map<number, DieDifference>();
  const dies = dieComparison(lot, measured);
  if (!dies) return found;
  const { widthPx } = smallBody(lot.frame, lot.by);
  for (let group = 0; group < compared.groups; group++) {
    const members = dies.of.flatMap((i, k) => (compared.groupOf[i] === group ? [k] : []));
    if (members.length < leastGroup) continue;
    const norm = groupNorm(dies, members);
    const differences = members.map((k) => partDifference(dies, k, norm, dies.where));
    const limit = weightLimit(differences);
    members.forEach((k, m) => {
      found.set(dies.of[k] as number, {
        difference: differences[m] as PartDifference,
        places: unmovedPlaces(differences[m] as PartDifference, norm.middle, widthPx, lot.slackPx),
        limit,
        toPicture: dies.toPicture[k] as AffineMap,
        toPatch: dies.toPatch[k] as AffineMap,
      });
    });
  }
  return found;
}

/** The frame's difference picture with the die's painted in where the die lies. */
function withDie(lot: PlacedLot, index: number, excess: Image, die: DieDifference): Image {
  const out: Image = { ...excess, data: excess.data.slice() };
  const item = lot.items[index] as PlacedItem;
  const toFrame = composeMaps(invertMap(item.aligned.map), die.toPatch);
  const tile = die.difference.excess;
  for (let y = 0; y < tile.height; y++) {
    for (let x = 0; x < tile.width; x++) {
      const v = tile.data[y * tile.width + x] as number;
      if (v === 0) continue;
      const [fx, fy] = applyMap(toFrame, [x, y]);
      const u = Math.round((fx - (lot.by - 1) / 2) / lot.by);
      const w = Math.round((fy - (lot.by - 1) / 2) / lot.by);
      if (u >= 0 && w >= 0 && u < out.width && w < out.height) out.data[w * out.width + u] = v;
    }
  }
  return out;
}

/**
 * Along an edge that lies a little elsewhere (a lid, a die, a leaning wall) a thin strip differs, which is placement
 * before it is matter: it is called from this many limits on.
 */
const stripLeniency = 3;
const leastStripAspect = 5;

/** Whether a place is thin and long; up to three times what is absorbed of misregistration is thin. */
function isStrip({ areaPx, boxPx: [, , width, height] }: DifferingPlace, slackPx: number): boolean {
  const long = Math.max(width, height);
  const thick = areaPx / long;
  return thick <= 3 * slackPx && long >= leastStripAspect * thick;
}

/** The middle distance of a part from others, in units of the distance at which two parts are held to differ. */
function distanceTo(compared: ComparedLot, index: number, others: readonly number[]): number {
  const n = compared.distances.size;
  const to = others.filter((j) => j !== index).map((j) => compared.distances.values[index * n + j] as number);
  return to.length ? median(to) : 0;
}

function callsAgainstLargest(
  lot: PlacedLot,
  measured: MeasuredLot,
  scale: Scale,
  index: number,
  places: readonly DifferingPlace[],
  alone: boolean,
): PlaceCall[] {
  const speck = places[0];
  if (alone && speck && isSpeck(places, lot.middle.data.length)) {
    return [
      callPlace(lot, measured, scale, index, speck, intoPicture(lot, index, speck.boxPx), "all other parts"),
    ];
  }
  return places
    .filter((p) => p.weight > leastWeight)
    .slice(0, 4)
    .map((place) =>
      callPlace(
        lot,
        measured,
        scale,
        index,
        place,
        intoPicture(lot, index, place.boxPx),
        "the largest group",
      ),
    );
}

function callPlace(
  lot: PlacedLot,
  measured: MeasuredLot,
  scale: Scale,
  index: number,
  place: DifferingPlace,
  boxPx: BoxPx,
  than: Than,
): PlaceCall {
  const die = measured.consensus.die;
  const dieAreaPx = die ? (die.lengthPx * die.widthPx) / lot.by ** 2 : Number.POSITIVE_INFINITY;
  const onDie = than === "the dies of its group" || inDie(place, measured, lot);
  const large = onDie && place.areaPx > 0.25 * dieAreaPx;
  const kind = large
    ? place.sign < 0 && !measured.parts[index]?.die
      ? "absent-die"
      : "die"
    : than === "the largest group"
      ? "lead-frame"
      : place.sign > 0
        ? "foreign"
        : "other";
  const word = place.sign > 0 ? "denser" : "lighter";
  const longestPx = Math.max(boxPx[2], boxPx[3]);
  const says = `${word} than ${than} by ${Math.abs(place.by).toFixed(2)} in attenuation, ${lengthText(longestPx, scale)} on its longest side`;
  const [x, y, width, height] = place.boxPx;
  return {
    call: { kind, boxPx, says },
    sign: place.sign,
    by: place.by,
    framePx:
      than === "the dies of its group" ? null : [x * lot.by, y * lot.by, width * lot.by, height * lot.by],
    than,
  };
}

/** A lighter spot of the die that is no good part of it: a void of the attach, which is judged by a rule of its own. */
function isVoid(place: DifferingPlace, measured: MeasuredLot, lot: PlacedLot): boolean {
  const die = measured.consensus.die;
  return die !== null && place.sign < 0 && place.areaPx < (0.15 * die.lengthPx * die.widthPx) / lot.by ** 2;
}

function inDie(place: DifferingPlace, measured: MeasuredLot, lot: PlacedLot): boolean {
  const die = measured.consensus.die;
  if (!die) return false;
  const near = inCompare(growRectangle(die, 0.15 * die.widthPx), lot.by);
  const [x, y, w, h] = place.boxPx;
  return (
    Math.abs(x + (w - 1) / 2 - near.centrePx[0]) < near.lengthPx / 2 &&
    Math.abs(y + (h - 1) / 2 - near.centrePx[1]) < near.widthPx / 2
  );
}
