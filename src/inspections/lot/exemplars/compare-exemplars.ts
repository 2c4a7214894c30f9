import type { Image, Mask } from "../../../numeric/image.ts";
import { frameImage } from "../aligned-for-report.ts";
import { asidePart } from "../aside-part.ts";
import { outlineMask } from "../grouping/compare-lot.ts";
import { groupAverage } from "../grouping/group-average.ts";
import { groupMembers } from "../grouping/group-parts.ts";
import { groupName } from "../grouping/judge-groups.ts";
import { compareMask } from "../grouping/pair-difference.ts";
import type { LotItem, PlacedItem } from "../lot-item.ts";
import { bodyCorners, describeMeasurements, describePose } from "../measuring/describe-part.ts";
import { inFrame } from "../measuring/measure-lot.ts";
import type { LotWork } from "../part-tasks.ts";
import { intoFrame, referenceMap } from "../placing/align-lot.ts";
import { toned } from "../placing/match-tone.ts";
import { smallBody } from "../placing/place-lot.ts";
import { frameReference } from "../placing/search-pose.ts";
import type { ExemplarFindings, LotAligned } from "../result.ts";
import type { ComparedTo } from "./compare-exemplar.ts";
import { compareExemplar } from "./compare-exemplar.ts";
import type { GatheredExemplars } from "./gather-exemplars.ts";
import type { ExemplarOnGroup } from "./lay-exemplar.ts";
import { layOnGroup } from "./lay-exemplar.ts";
import type { MeasuredExemplar } from "./measured-exemplar.ts";
import { rescaledPatch } from "./rescaled-patch.ts";

/** The exemplars and how the lot's groups lie to them, with the pictures for the report. */
export interface ComparedExemplars {
  /** Whether any were asked for. */
  readonly given: boolean;
  readonly exemplars: readonly ExemplarFindings[];
  readonly aligned: LotAligned["exemplars"];
}

/**
 * Compares every group of a lot with every exemplar. An exemplar may have been taken at another magnification, tube
 * voltage, turn or polarity: it is brought to the lot's size, laid on each group in the pose that fits best, and
 * compared in the group's tone and unsharpness.
 *
 * @see docs/methods/exemplars.md
 */
export async function compareExemplars(
  to: ComparedTo,
  {
    given,
    usable,
    aside,
    ofOtherCode,
  }: Pick<GatheredExemplars, "given" | "usable" | "aside" | "ofOtherCode">,
  work: LotWork,
): Promise<ComparedExemplars> {
  const members = groupMembers(to.compared.groupOf);
  const averages = members.map((own) => groupAverage(to.lot.small, own));
  const placed = await placeExemplars(to, usable, work);
  const where = { outline: outlineMask(to.lot, to.measuredLot), shown: wholeBody(to) };
  const laid = placed.map((item) =>
    averages.map((average) => layOnGroup(to.lot, item, average, where.outline, where.shown)),
  );
  const settled = laid.map((onGroups) => bestLaid(onGroups).item);
  const measured = await measureExemplars(to, settled, work);
  const exemplars = measured.map((exemplar, e): ExemplarFindings => {
    const onGroups = laid[e] as readonly ExemplarOnGroup[];
    return {
      ...describeExemplar(to, exemplar),
      against: members.map((own, g) => ({
        group: groupName(g),
        otherCode: own.every((i) => {
          const { id, picture } = to.lot.items[i] as PlacedItem;
          return ofOtherCode(exemplar.item.picture.picture, { id, picture: picture.picture });
        }),
        ...compareExemplar(to, exemplar, onGroups[g] as ExemplarOnGroup, own, {
          wires: to.wires.groups[g] ?? null,
          scene: to.scenes[g] ?? null,
        }),
      })),
    };
  });
  return {
    given,
    exemplars: [...exemplars, ...aside.map(asideExemplar)],
    aligned: measured.flatMap((exemplar, e) =>
      (laid[e] as readonly ExemplarOnGroup[]).map((onGroup, g) => alignedExemplar(to, exemplar, onGroup, g)),
    ),
  };
}

/** Bodies that differ by more than this in size are drawn at the lot's size before their pose is searched. */
const nearSize = 0.05;

async function placeExemplars(
  { lot }: ComparedTo,
  items: readonly LotItem[],
  work: LotWork,
): Promise<PlacedItem[]> {
  const { frame, by, referenceSmall } = lot;
  const reference = (lot.items[lot.reference] as PlacedItem).patch;
  const sized = items.map((item) => {
    const wanted = frame.body.lengthPx * frame.body.widthPx * frame.reducedBy ** 2;
    const { lengthPx, widthPx } = item.patch.body;
    const factor = Math.sqrt(wanted / (lengthPx * widthPx));
    return Math.abs(Math.log(factor)) < nearSize
      ? item
      : { ...item, patch: rescaledPatch(item.patch, factor) };
  });
  const ready = frameReference(frame, intoFrame(frame, reference, referenceMap(frame, reference)));
  const laid = await work.each(
    "lay",
    { reference: ready, by, referenceSmall, everyPose: false },
    sized.map((item) => item.patch),
  );
  return laid.map(({ aligned }, i) => ({ ...(sized[i] as LotItem), aligned }));
}

function wholeBody({ lot }: ComparedTo): Mask {
  const { width, height } = lot.middle;
  return compareMask(width, height, smallBody(lot.frame, lot.by));
}

function bestLaid(onGroups: readonly ExemplarOnGroup[]): ExemplarOnGroup {
  return onGroups.reduce((best, one) => (one.outline < best.outline ? one : best));
}

async function measureExemplars(
  { lot, measuredLot }: ComparedTo,
  items: readonly PlacedItem[],
  work: LotWork,
): Promise<MeasuredExemplar[]> {
  const { frame } = lot;
  const { consensus } = measuredLot;
  const looks = await work.each("look", frame, items.map(inFrame));
  const measures = await work.each(
    "measure",
    { frame, consensus },
    items.map((item, i) => ({ ...inFrame(item), ...(looks[i] as (typeof looks)[number]) })),
  );
  return items.map((item, i) => ({
    item,
    look: looks[i] as (typeof looks)[number],
    measures: measures[i] as (typeof measures)[number],
  }));
}

function describeExemplar({ lot }: ComparedTo, { item, measures }: MeasuredExemplar) {
  const { aligned, picture } = item;
  return {
    id: item.id,
    picture: picture.picture,
    cornersPx: bodyCorners(item, lot.frame),
    assessable: true,
    because: null,
    pose: describePose(aligned),
    relativeScale: aligned.scale,
    measurements: describeMeasurements(item, measures, picture.scale, false),
  };
}

function asideExemplar(item: LotItem): ExemplarFindings {
  const { id, picture, cornersPx, assessable, because, pose, relativeScale, measurements } = asidePart(item);
  return { id, picture, cornersPx, assessable, because, pose, relativeScale, measurements, against: [] };
}

function alignedExemplar(
  { lot }: ComparedTo,
  { item, look }: MeasuredExemplar,
  onGroup: ExemplarOnGroup,
  group: number,
): LotAligned["exemplars"][number] {
  const { frame, by } = lot;
  const samePose = onGroup.item.aligned.map === item.aligned.map;
  return {
    id: item.id,
    group: groupName(group),
    get attenuation(): Image {
      const image = samePose ? look.image : intoFrame(frame, onGroup.item.patch, onGroup.item.aligned.map);
      return toned(image, onGroup.tone);
    },
    get difference(): Image {
      return frameImage(onGroup.difference.excess, by, frame);
    },
  };
}
