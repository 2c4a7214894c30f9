import { applyMap } from "../../align/similarity.ts";
import { evenly } from "../../numeric/evenly.ts";
import type { Image } from "../../numeric/image.ts";
import { createImage } from "../../numeric/image.ts";
import { median } from "../../numeric/order.ts";
import { rectangleCorners } from "../../numeric/oriented-rectangle.ts";
import type { Scale } from "../../radiograph/radiograph.ts";
import { noScale, scaleFromReferenceLength } from "../../radiograph/scale.ts";
import type { NoNumber } from "../../units/measured.ts";
import { measured, notMeasured } from "../../units/measured.ts";
import { betterReference } from "./better-reference.ts";
import type { CalledPart } from "./call-differences.ts";
import { callDifferences } from "./call-differences.ts";
import type { ComparedLot } from "./compare-lot.ts";
import { compareLot, outlineMask } from "./compare-lot.ts";
import { bodyCorners, describeMeasurements, toPictureMap } from "./describe-part.ts";
import type { GatheredLot, LotSource } from "./gather-parts.ts";
import { gatherParts } from "./gather-parts.ts";
import { groupMembers } from "./group-parts.ts";
import { describeCompared, describeGroups, groupName, knowsNormal, minorityGroups } from "./judge-groups.ts";
import type { LotItem, PictureFacts, PlacedItem } from "./lot-item.ts";
import type { PartWires } from "./lot-wires.ts";
import { lotWires } from "./lot-wires.ts";
import type { MeasuredLot } from "./measure-lot.ts";
import { measureLot } from "./measure-lot.ts";
import type { LotOptions } from "./options.ts";
import type { LotWork } from "./part-tasks.ts";
import { workHere } from "./part-tasks.ts";
import { boxAround } from "./picture-box.ts";
import type { PlacedLot } from "./place-lot.ts";
import { middleOf, placeLot, settlePoses } from "./place-lot.ts";
import type { LotAligned, LotFindings, LotMeasurement, LotMeasurements, LotPart } from "./result.ts";
import { splitFollows } from "./split-follows.ts";

export const lotMethod = { id: "lot", version: "1" } as const;

/** The findings with the pictures they rest on. */
export interface InspectedLot {
  readonly findings: LotFindings;
  readonly pictures: readonly PictureFacts[];
  readonly unreadable: GatheredLot["unreadable"];
  readonly empty: GatheredLot["empty"];
}

/** Where a long inspection stands. */
export type LotProgress = (stage: "reading" | "aligning" | "measuring", done: number, of: number) => void;

/**
 * Inspects the radiographs of one lot: finds the parts, brings them into one frame, measures them, sorts them into
 * constructions and says what differs.
 *
 * @param sources one per picture; each is loaded when its turn comes
 * @param work who does what can be done on each part alone; the result is the same whoever does
 * @see docs/methods/lot.md
 */
export async function inspectLot(
  sources: readonly LotSource[],
  options: LotOptions,
  progress: LotProgress = () => {},
  work: LotWork = workHere,
): Promise<InspectedLot> {
  const gathered = await gatherParts(
    sources,
    (done, of) => progress("reading", done, of),
    work.picturesAtOnce,
  );
  const { pictures, unreadable, empty } = gathered;
  const usable = gathered.items.filter((i) => notAssessable(i) === null);
  const aside = gathered.items.filter((i) => notAssessable(i) !== null);
  if (usable.length < 2) return { findings: tooFew(gathered.items), pictures, unreadable, empty };
  const aligning = (done: number) => progress("aligning", done, usable.length);
  const measuring = (done: number) => progress("measuring", done, usable.length);
  let lot = await placeLot(usable, null, work, aligning);
  let measuredLot = await measureLot(lot, work, measuring);
  let compared = compareLot(lot, measuredLot);
  const settled = settlePoses(lot, compared.groupOf, outlineMask(lot, measuredLot), compared.outlineLink);
  if (settled) {
    measuredLot = await measureLot(settled, work, () => {}, { lot, measured: measuredLot });
    lot = settled;
    compared = compareLot(lot, measuredLot);
  }
  // Aligned on an odd part the others look more alike than they are: the first change need not be the last.
  for (let round = 0; round < mostChanges; round++) {
    const better = betterReference(lot, compared);
    if (better === null) break;
    lot = await placeLot(usable, better, work, aligning);
    measuredLot = await measureLot(lot, work, measuring);
    compared = compareLot(lot, measuredLot);
  }
  const findings = describeLot(lot, measuredLot, compared, aside, options);
  const order = gathered.items.map((i) => i.id);
  return {
    findings: { ...findings, parts: inFoundOrder(findings.parts, order) },
    pictures: pictures.map((facts) => {
      const item = lot.items.find((i) => i.picture === facts);
      return item ? { ...facts, scale: scaleOf(item, lot, options) } : facts;
    }),
    unreadable,
    empty,
  };
}

/** Changes of the reference part before the lot is taken as it stands. */
const mostChanges = 3;

/** Noise of attenuation in open field beyond which dies, pads and mould no longer stand out in one picture. */
const mostOpenNoise = 0.08;

/** Why a part cannot be compared, as a reason for its missing numbers and in words; null when it can. */
function notAssessable({ patch, picture }: LotItem): { reason: NoNumber; says: string } | null {
  if (patch.part.cutByEdge) {
    return { reason: "out-of-field", says: "out-of-field: the picture's edge cuts the body" };
  }
  if (patch.censoredShare > 0.2) {
    return { reason: "saturated", says: "saturated: more than a fifth of the part is clipped" };
  }
  if (picture.openNoise > mostOpenNoise) {
    return {
      reason: "not-visible",
      says: `too noisy: attenuation varies by ${picture.openNoise.toFixed(2)} from pixel to pixel in open field (under-exposed)`,
    };
  }
  return null;
}

function describeLot(
  lot: PlacedLot,
  measuredLot: MeasuredLot,
  compared: ComparedLot,
  aside: readonly LotItem[],
  options: LotOptions,
): LotFindings {
  const minority = minorityGroups(compared.groupOf);
  const called = callDifferences(lot, measuredLot, compared, minority);
  const { images } = measuredLot;
  const wires = lotWires(lot, measuredLot, images, groupMembers(compared.groupOf));
  const scales = lot.items.map((item) => scaleOf(item, lot, options));
  const lotScale = scales[lot.reference] as Scale;
  const scaleCalls = otherScale(lot);
  const parts: LotPart[] = lot.items.map((item, i) => {
    const { calls, oddness } = called[i] as CalledPart;
    const { seen: wiresSeen, calls: wireCalls, wires: partWires } = wires.parts[i] as PartWires;
    const all = [...calls, ...wireCalls, ...(scaleCalls[i] ?? [])];
    const suspect = minority.has(compared.groupOf[i] as number) || all.length > 0;
    return {
      id: item.id,
      picture: item.picture.picture,
      cornersPx: bodyCorners(item, lot.frame),
      group: groupName(compared.groupOf[i] as number),
      suspect,
      assessable: true,
      because: null,
      pose: {
        turn: item.aligned.turnDeg,
        mirrored: item.aligned.mirrored,
        ambiguousWith: item.aligned.alternatives
          .filter((a) => a.equal)
          .map((a) => ({ turn: a.turnDeg, mirrored: a.mirrored })),
      },
      relativeScale: item.aligned.scale,
      measurements: {
        ...describeMeasurements(
          item,
          measuredLot.parts[i] as MeasuredLot["parts"][number],
          scales[i] as Scale,
          calls.some((c) => c.kind === "absent-die"),
        ),
        wiresSeen,
      },
      wires: partWires,
      calls: all,
      oddness: Math.max(oddness, wireCalls.length ? 2 : 0, scaleCalls[i]?.length ? 1.01 : 0),
    };
  });
  const groups = describeGroups(lot, compared, lotScale);
  const suspects = parts.filter((p) => p.suspect).map((p) => p.id);
  const normal = knowsNormal(lot, compared.groupOf);
  const differ = groups.length > 1 || suspects.length > 0;
  const enough = lot.items.length >= 3;
  return {
    method: lotMethod,
    parts: [...parts, ...aside.map(asidePart)],
    groups,
    suspects,
    split: splitFollows(lot, compared),
    compared: [...describeCompared(lot, measuredLot, compared, lotScale), wires.compared],
    conclusion: !normal ? "not-assessable" : differ ? "mixed" : enough ? "consistent" : "not-assessable",
    identity: "no-exemplar",
    aligned: alignedForReport(lot, images, compared, called),
  };
}

/** Parts in the order in which they were found. */
function inFoundOrder(parts: readonly LotPart[], order: readonly string[]): LotPart[] {
  const place = new Map(order.map((id, i) => [id, i]));
  return [...parts].sort((p, q) => (place.get(p.id) ?? 0) - (place.get(q.id) ?? 0));
}

/** The scale of a part's picture: as loaded, or from the body's given size measured on the parts of that picture. */
function scaleOf(item: PlacedItem, lot: PlacedLot, { bodyMm }: LotOptions): Scale {
  if (item.picture.scale.umPerPx !== null || !bodyMm) return item.picture.scale;
  const bodies = lot.items.filter((i) => i.picture.picture === item.picture.picture && i.patch.part.fit);
  if (!bodies.length) return noScale;
  const px = median(bodies.map((i) => i.patch.part.body.lengthPx));
  return scaleFromReferenceLength({ value: Math.max(...bodyMm), U: 0 }, measured(px, 0.8, "px"));
}

/** Parts that lie at another scale than the others of their picture: nearer to the source, or of another size. */
function otherScale(lot: PlacedLot): (LotPart["calls"] | undefined)[] {
  return lot.items.map((item) => {
    const mates = lot.items.filter((i) => i.picture.picture === item.picture.picture);
    if (mates.length < 4) return undefined;
    const scale = item.aligned.scale / median(mates.map((i) => i.aligned.scale));
    if (Math.abs(scale - 1) < 0.015) return undefined;
    const corners = rectangleCorners(item.patch.body).map((p) => applyMap(item.patch.toPicture, p));
    const percent = (100 * Math.abs(scale - 1)).toFixed(1);
    return [
      {
        kind: "other" as const,
        boxPx: boxAround(corners),
        says: `${percent} % ${scale > 1 ? "larger" : "smaller"} than the other parts of this picture in all lengths: it lies at another height, or is of another size`,
      },
    ];
  });
}

const measurementNames: readonly LotMeasurement[] = [
  "bodyLength",
  "bodyWidth",
  "padLength",
  "padWidth",
  "dieLength",
  "dieWidth",
  "dieOffsetX",
  "dieOffsetY",
  "dieTurn",
  "leads",
  "leadPitch",
  "frameAttenuation",
  "dieAttenuation",
  "wiresSeen",
];

/** A part that was found but not compared. */
function asidePart(item: LotItem): LotPart {
  const why = notAssessable(item) ?? {
    reason: "too-few" as const,
    says: "too-few: nothing to compare it with",
  };
  return {
    id: item.id,
    picture: item.picture.picture,
    cornersPx: rectangleCorners(item.patch.body).map((p) =>
      applyMap(item.patch.toPicture, p),
    ) as unknown as LotPart["cornersPx"],
    group: null,
    suspect: false,
    assessable: false,
    because: why.says,
    pose: { turn: (item.patch.body.angleRad * 180) / Math.PI, mirrored: false, ambiguousWith: [] },
    relativeScale: 1,
    measurements: Object.fromEntries(
      measurementNames.map((name) => [name, notMeasured("1", why.reason)]),
    ) as LotMeasurements,
    wires: [],
    calls: [],
    oddness: 0,
  };
}

function tooFew(items: readonly LotItem[]): LotFindings {
  return {
    method: lotMethod,
    parts: items.map(asidePart),
    groups: [],
    suspects: [],
    split: null,
    compared: [],
    conclusion: "not-assessable",
    identity: "no-exemplar",
    aligned: { width: 0, height: 0, bodyBoxPx: [0, 0, 0, 0], parts: [], averages: [] },
  };
}

const mostAveraged = 15;

function alignedForReport(
  lot: PlacedLot,
  images: readonly Image[],
  compared: ComparedLot,
  called: readonly CalledPart[],
): LotAligned {
  const { frame } = lot;
  const { centrePx, lengthPx, widthPx } = frame.body;
  return {
    width: frame.width,
    height: frame.height,
    bodyBoxPx: [centrePx[0] - lengthPx / 2, centrePx[1] - widthPx / 2, lengthPx, widthPx],
    parts: lot.items.map((item, i) => ({
      id: item.id,
      attenuation: images[i] as Image,
      toPicture: toPictureMap(item),
      // Drawn when it is looked at: without a report nobody does.
      get difference() {
        return enlarged((called[i] as CalledPart).excess, lot.by, frame.width, frame.height);
      },
    })),
    averages: groupMembers(compared.groupOf).map((members, g) => {
      const chosen = evenly(members, mostAveraged);
      return { group: groupName(g), attenuation: middleOf(chosen.map((i) => images[i] as Image)) };
    }),
  };
}

/** A compare-size picture at frame size, each pixel repeated. */
function enlarged(image: Image, by: number, width: number, height: number): Image {
  const out = createImage(width, height);
  for (let y = 0; y < height; y++) {
    const from = Math.min(image.height - 1, Math.floor(y / by)) * image.width;
    for (let x = 0; x < width; x++) {
      out.data[y * width + x] = image.data[from + Math.min(image.width - 1, Math.floor(x / by))] as number;
    }
  }
  return out;
}
