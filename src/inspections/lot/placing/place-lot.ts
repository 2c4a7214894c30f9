import type { Image, Mask } from "../../../numeric/image.ts";
import { median, quantile } from "../../../numeric/order.ts";
import { stackQuantile } from "../../../numeric/stack-quantile.ts";
import { groupMembers } from "../grouping/group-parts.ts";
import type { ComparablePart } from "../grouping/pair-difference.ts";
import { comparablePart, compareMask, pairDifference } from "../grouping/pair-difference.ts";
import type { LotItem, PlacedItem } from "../lot-item.ts";
import type { LotWork } from "../part-tasks.ts";
import type { LotFrame } from "./align-lot.ts";
import { chooseReference, inPose, intoFrame, lotFrame, ownPixels, referenceMap } from "./align-lot.ts";
import type { InTone } from "./look-in-tone.ts";
import { comparedAs, lookInTone } from "./look-in-tone.ts";
import type { Tone } from "./match-tone.ts";
import { frameReference } from "./search-pose.ts";
import type { LyingPart } from "./settle-by-average.ts";
import { settleByAverage } from "./settle-by-average.ts";
import { fewestWeighed } from "./weigh-poses.ts";

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
 * When poses are weighed no place is known better than this share of the contrast, or twice the noise there. Faint marks
 * that all parts have, as a BGA's routing, are asymmetries too: with a floor of 1 % a die set off weighed more.
 */
const leastSpreadShare = 0.003;

/**
 * Brings all parts into one frame. Where there are enough of them, their common average settles how each lies.
 *
 * @param reference which part gives the frame; chosen by size when null
 * @param work who lays each part onto the reference
 */
export async function placeLot(
  items: readonly LotItem[],
  reference: number | null,
  work: LotWork,
  onPart: (done: number) => void,
): Promise<PlacedLot> {
  const index = reference ?? chooseReference(items.map((i) => i.patch));
  const referencePatch = (items[index] as LotItem).patch;
  const frame = lotFrame(referencePatch);
  const ready = frameReference(frame, intoFrame(frame, referencePatch, referenceMap(frame, referencePatch)));
  const by = Math.max(1, Math.round(Math.max(frame.body.lengthPx, frame.body.widthPx) / compareLongestPx));
  // Misregistration and spread of sizes that are absorbed: about two px of the original at any size.
  const slack = by === 1 ? 2 : 1;
  const referenceSmall = ownPixels(
    frame,
    intoFrame(frame, referencePatch, referenceMap(frame, referencePatch), by),
    by,
  );
  const look = (item: PlacedItem) => lookInTone(frame, item, by, referenceSmall);
  const laid = await work.each(
    "lay",
    { reference: ready, by, referenceSmall, everyPose: !frame.wholeField && items.length >= fewestWeighed },
    items.map((item) => item.patch),
    onPart,
  );
  const where = compareMask(referenceSmall.width, referenceSmall.height, smallBody(frame, by));
  const values = Array.from(comparedAs(referenceSmall, frame).data).filter(
    (v, i) => where.data[i] && !Number.isNaN(v),
  );
  const contrast = Math.max(1e-3, quantile(values, 0.95) - quantile(values, 0.05));
  const noise = median(items.map((i) => i.picture.openNoise));
  const tolerance = Math.max(0.03 * contrast, 4 * noise);
  const lying = laid.map(({ aligned, look: seen }, i) => ({
    item: { ...(items[i] as LotItem), aligned },
    look: seen,
  }));
  const settled = frame.wholeField
    ? settleByMiddle(lying, look, { where, contrast, tolerance, slackPx: slack })
    : await settleByAverage(
        lying,
        laid.map(({ poses }) => poses),
        look,
        Math.max(leastSpreadShare * contrast, (2 * noise) / by),
        work,
      );
  const small = settled.map((part) => part.look.image);
  const middle = middleOf(small);
  const comparable = small.map((s) => comparablePart(s, middle, slack));
  return {
    frame,
    reference: index,
    items: settled.map((part) => part.item),
    by,
    referenceSmall,
    tones: settled.map((part) => part.look.tone),
    small,
    comparable,
    middle,
    contrast,
    tolerance,
    slackPx: slack,
  };
}

/**
 * Settles how crops of a larger picture lie: their surroundings differ from one to the next, so that an average says
 * little. Of its equal poses each takes the one in which it is clearly most like the lot's middle picture.
 */
function settleByMiddle(
  parts: readonly LyingPart[],
  look: (item: PlacedItem) => InTone,
  {
    where,
    contrast,
    tolerance,
    slackPx,
  }: Pick<PlacedLot, "contrast" | "tolerance" | "slackPx"> & { where: Mask },
): LyingPart[] {
  let settled = [...parts];
  for (let round = 0; round < 2; round++) {
    const middle = middleOf(settled.map((part) => part.look.image));
    const target = comparablePart(middle, middle, slackPx);
    const off = (image: Image) =>
      pairDifference(comparablePart(image, middle, slackPx), target, where, 0.3 * tolerance);
    const next = settled.map((part) => {
      let best = part;
      let least = off(part.look.image);
      part.item.aligned.alternatives.forEach((alternative, k) => {
        if (!alternative.equal) return;
        const item = { ...part.item, aligned: inPose(part.item.aligned, k) };
        const looked = look(item);
        const here = off(looked.image);
        if (here >= 0.7 * least - 1e-4 * contrast) return;
        least = here;
        best = { item, look: looked };
      });
      return best;
    });
    const changed = next.some((part, i) => part !== settled[i]);
    settled = next;
    if (!changed) break;
  }
  return settled;
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
