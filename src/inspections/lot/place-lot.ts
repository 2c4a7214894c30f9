import type { Image, Mask } from "../../numeric/image.ts";
import { median, quantile } from "../../numeric/order.ts";
import { stackQuantile } from "../../numeric/stack-quantile.ts";
import { opacity } from "../../radiograph/opacity.ts";
import type { LotFrame } from "./align-lot.ts";
import {
  alignPatch,
  chooseReference,
  frameReference,
  inPose,
  intoFrame,
  lotFrame,
  referenceMap,
} from "./align-lot.ts";
import { groupMembers } from "./group-parts.ts";
import type { LotItem, PlacedItem } from "./lot-item.ts";
import type { Tone } from "./match-tone.ts";
import { matchTone, toned } from "./match-tone.ts";
import type { ComparablePart } from "./pair-difference.ts";
import { comparablePart, compareMask, pairDifference } from "./pair-difference.ts";

/** The lot in one frame, at the size at which parts are compared. */
export interface PlacedLot {
  readonly frame: LotFrame;
  readonly reference: number;
  readonly items: readonly PlacedItem[];
  /** Frame px per compare px. */
  readonly by: number;
  /** Tone that takes each part's attenuation to the reference's. */
  readonly tones: readonly Tone[];
  /** The reference part at compare size. */
  readonly referenceSmall: Image;
  /** Each part's attenuation at compare size, in the reference's tone; NaN outside its patch. */
  readonly small: readonly Image[];
  readonly comparable: readonly ComparablePart[];
  /** Middle value over the lot at each pixel. */
  readonly middle: Image;
  /** Range of attenuation inside the body (5 to 95 %): the unit in which differences are judged. */
  readonly contrast: number;
  /** Attenuation differences at compare size that noise and tone leave: not counted. */
  readonly tolerance: number;
  /** Misregistration absorbed, compare px. */
  readonly slackPx: number;
}

const compareLongestPx = 240;

/**
 * Brings all parts into one frame. Parts whose pose is ambiguous take, in the end, the pose in which they are
 * most like the middle of the lot.
 *
 * @param reference which part gives the frame; chosen by size when null
 */
export function placeLot(
  items: readonly LotItem[],
  reference: number | null,
  onPart: (done: number) => void,
): PlacedLot {
  const index = reference ?? chooseReference(items.map((i) => i.patch));
  const referencePatch = (items[index] as LotItem).patch;
  const frame = lotFrame(referencePatch);
  const ready = frameReference(frame, intoFrame(frame, referencePatch, referenceMap(frame, referencePatch)));
  let placed: PlacedItem[] = items.map((item, i) => {
    const aligned = alignPatch(ready, item.patch);
    onPart(i + 1);
    return { ...item, aligned };
  });
  const by = Math.max(1, Math.round(Math.max(frame.body.lengthPx, frame.body.widthPx) / compareLongestPx));
  const slack = slackPx(by);
  const referenceSmall = intoFrame(frame, referencePatch, referenceMap(frame, referencePatch), by);
  const look = (item: PlacedItem) => lookInTone(frame, item, by, referenceSmall);
  const where = compareMask(referenceSmall.width, referenceSmall.height, smallBody(frame, by));
  const values = Array.from(comparedAs(referenceSmall, frame).data).filter(
    (v, i) => where.data[i] && !Number.isNaN(v),
  );
  const contrast = Math.max(1e-3, quantile(values, 0.95) - quantile(values, 0.05));
  const noise = median(items.map((i) => i.picture.openNoise));
  const tolerance = Math.max(0.03 * contrast, 4 * noise);
  const looks = placed.map(look);
  const small = looks.map((l) => l.image);
  let middle = middleOf(small);
  for (let round = 0; round < 2; round++) {
    const target = comparablePart(middle, middle, slack);
    let changed = false;
    placed = placed.map((item, i) => {
      let best = item;
      let least = pairDifference(
        comparablePart(small[i] as Image, middle, slack),
        target,
        where,
        0.3 * tolerance,
      );
      item.aligned.alternatives.forEach((alternative, k) => {
        if (!alternative.equal) return;
        const other = { ...item, aligned: inPose(item.aligned, k) };
        const looked = look(other);
        const off = pairDifference(
          comparablePart(looked.image, middle, slack),
          target,
          where,
          0.3 * tolerance,
        );
        if (off < 0.7 * least - 1e-4 * contrast) {
          least = off;
          best = other;
          looks[i] = looked;
          small[i] = looked.image;
          changed = true;
        }
      });
      return best;
    });
    if (!changed) break;
    middle = middleOf(small);
  }
  const comparable = small.map((s) => comparablePart(s, middle, slack));
  return {
    frame,
    reference: index,
    items: placed,
    by,
    referenceSmall,
    tones: looks.map((l) => l.tone),
    small,
    comparable,
    middle,
    contrast,
    tolerance,
    slackPx: slack,
  };
}

/**
 * What is compared: attenuation, or opacity 1 - exp(-a) where pictures have no open beam of their own. Those are
 * display pictures: their errors are even in grey, not in its logarithm, which would count a hair more solder in the
 * darkest greys above a missing joint.
 */
function comparedAs(image: Image, { wholeField }: LotFrame): Image {
  if (!wholeField) return image;
  return { ...image, data: image.data.map(opacity) };
}

/** Misregistration and spread of sizes that are absorbed, compare px: about two px of the original at any size. */
function slackPx(by: number): number {
  return by === 1 ? 2 : 1;
}

/** A part at compare size in the reference's tone, and that tone. */
function lookInTone(
  frame: LotFrame,
  item: PlacedItem,
  by: number,
  referenceSmall: Image,
): { readonly image: Image; readonly tone: Tone } {
  const image = intoFrame(frame, item.patch, item.aligned.map, by);
  const tone = matchTone(image, referenceSmall, frame.wholeField ? "offset" : "curve");
  return { image: comparedAs(toned(image, tone), frame), tone };
}

/**
 * Tries the other poses of parts that are not at home in a group: with a pose mistaken for its twin a part looks
 * like another construction.
 *
 * @param groupOf group of each part, the larger groups first
 * @param link outline distance at which parts are held to differ
 * @returns the lot with better poses, or null when none was found
 */
export function settlePoses(
  lot: PlacedLot,
  groupOf: readonly number[],
  where: Mask,
  link: number,
): PlacedLot | null {
  const large = groupMembers(groupOf)
    .filter((members) => members.length >= Math.max(3, 0.2 * groupOf.length))
    .map((members) => middleOf(members.map((i) => lot.small[i] as Image)))
    .map((image) => comparablePart(image, image, lot.slackPx));
  if (!large.length) return null;
  const items = [...lot.items];
  const small = [...lot.small];
  const tones = [...lot.tones];
  const comparable = [...lot.comparable];
  let changed = false;
  const home = (part: ComparablePart) =>
    Math.min(...large.map((middle) => pairDifference(part, middle, where, lot.tolerance)));
  lot.items.forEach((item, i) => {
    if (!item.aligned.alternatives.length) return;
    let least = home(comparable[i] as ComparablePart);
    if (least < 0.3 * link) return;
    item.aligned.alternatives.forEach((_, k) => {
      const other = { ...item, aligned: inPose(item.aligned, k) };
      const { image, tone } = lookInTone(lot.frame, other, lot.by, lot.referenceSmall);
      const part = comparablePart(image, lot.middle, lot.slackPx);
      const off = home(part);
      if (off >= 0.7 * least) return;
      least = off;
      items[i] = other;
      small[i] = image;
      tones[i] = tone;
      comparable[i] = part;
      changed = true;
    });
  });
  return changed ? { ...lot, items, tones, small, comparable, middle: middleOf(small) } : null;
}

/** Body of the frame in compare px. */
export function smallBody(frame: LotFrame, by: number) {
  return inCompare(frame.body, by);
}

/** A frame rectangle in compare px. */
export function inCompare<T extends LotFrame["body"]>(rect: T, by: number): T {
  const at = (v: number) => (v - (by - 1) / 2) / by;
  return {
    ...rect,
    centrePx: [at(rect.centrePx[0]), at(rect.centrePx[1])],
    lengthPx: rect.lengthPx / by,
    widthPx: rect.widthPx / by,
  };
}

/** Middle value at each pixel over images of one size; NaN where none has a value. */
export function middleOf(images: readonly Image[]): Image {
  const filled = images.map(({ width, height, data }) => {
    const finite = data.slice();
    for (let i = 0; i < finite.length; i++) if (Number.isNaN(finite[i] as number)) finite[i] = 0;
    return { width, height, data: finite };
  });
  const middle = stackQuantile(filled, 0.5);
  const { data } = middle;
  const missing = new Uint8Array(data.length);
  for (const image of images) {
    for (let i = 0; i < data.length; i++) if (Number.isNaN(image.data[i] as number)) missing[i] = 1;
  }
  for (let i = 0; i < data.length; i++) {
    if (missing[i]) data[i] = medianOrNaN(images.map((image) => image.data[i] as number));
  }
  return middle;
}

function medianOrNaN(values: readonly number[]): number {
  const seen = values.filter((v) => !Number.isNaN(v));
  return seen.length ? median(seen) : Number.NaN;
}
