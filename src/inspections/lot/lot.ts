import { notAssessable } from "./aside-part.ts";
import { describeLot, tooFew } from "./describe-lot.ts";
import { groupScenes } from "./details/group-scenes.ts";
import { compareExemplars } from "./exemplars/compare-exemplars.ts";
import type { LotExemplars } from "./exemplars/gather-exemplars.ts";
import { gatherExemplars } from "./exemplars/gather-exemplars.ts";
import type { GatheredLot, LotSource } from "./finding/gather-parts.ts";
import { gatherParts } from "./finding/gather-parts.ts";
import { compareLot, outlineMask } from "./grouping/compare-lot.ts";
import { splitByBonding } from "./grouping/split-by-bonding.ts";
import type { LotItem, PictureFacts, PlacedItem } from "./lot-item.ts";
import { lotWires } from "./lot-wires.ts";
import { measureLot } from "./measuring/measure-lot.ts";
import type { LotOptions } from "./options.ts";
import type { LotWork } from "./part-tasks.ts";
import { workHere } from "./part-tasks.ts";
import { scaleOf } from "./picture-scale.ts";
import { betterReference } from "./placing/better-reference.ts";
import { placeLot, settlePoses } from "./placing/place-lot.ts";
import type { EarlierParts } from "./portions/earlier-parts.ts";
import type { ExemplarFindings, LotFindings, LotPart } from "./result.ts";

/** The findings with the pictures they rest on. */
export interface InspectedLot {
  readonly findings: LotFindings;
  readonly pictures: readonly PictureFacts[];
  readonly exemplarPictures: readonly PictureFacts[];
  readonly unreadable: GatheredLot["unreadable"];
  readonly empty: GatheredLot["empty"];
  /** The parts that were compared. */
  readonly items: readonly LotItem[];
  /** How the groups lie to parts inspected before; empty where the lot is inspected in one go. */
  readonly before: readonly ExemplarFindings[];
}

/** Where a long inspection stands. */
export type LotProgress = (stage: "reading" | "aligning" | "measuring", done: number, of: number) => void;

/**
 * Inspects the radiographs of one lot: finds the parts, brings them into one frame, measures them, sorts them into
 * constructions and says what differs.
 *
 * @param sources one per picture; each is loaded when its turn comes
 * @param known parts of known origin to compare with
 * @param earlier where the lot is a portion of a larger one: typical parts of the portions before it
 * @param work who does what can be done on each part alone; the result is the same whoever does
 * @see docs/methods/lot.md
 */
export async function inspectLot(
  sources: readonly LotSource[],
  options: LotOptions,
  progress: LotProgress = () => {},
  work: LotWork = workHere,
  known: LotExemplars = { sources: [] },
  earlier: EarlierParts | null = null,
): Promise<InspectedLot> {
  const gathered = await gatherParts(
    sources,
    (done, of) => progress("reading", done, of),
    work.picturesAtOnce,
  );
  const exemplars = await gatherExemplars(known, options);
  const { pictures } = gathered;
  const read = {
    exemplarPictures: exemplars.pictures,
    unreadable: [...gathered.unreadable, ...exemplars.unreadable],
    empty: [...gathered.empty, ...exemplars.empty],
  };
  const usable = gathered.items.filter((i) => notAssessable(i) === null);
  const aside = gathered.items.filter((i) => notAssessable(i) !== null);
  if (usable.length < 2)
    return { findings: tooFew(gathered.items, exemplars), pictures, ...read, items: [], before: [] };
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
  const scale = scaleOf(lot.items[lot.reference] as PlacedItem, lot, options);
  let scenes = groupScenes(lot, measuredLot, compared.groupOf);
  let wires = lotWires(lot, measuredLot.images, scenes);
  const byBonding = splitByBonding(compared, wires);
  if (byBonding) {
    compared = byBonding;
    scenes = groupScenes(lot, measuredLot, compared.groupOf);
    wires = lotWires(lot, measuredLot.images, scenes);
  }
  const to = { lot, measuredLot, compared, scale, scenes, wires };
  const against = await compareExemplars(to, exemplars, work);
  const before = earlier?.items.length
    ? (await compareExemplars(to, { ...alone, usable: earlier.items }, work)).exemplars
    : [];
  const worked = { lot, measuredLot, compared, scenes, wires, against, before };
  const findings = describeLot(worked, aside, options, earlier?.odd);
  const order = gathered.items.map((i) => i.id);
  return {
    findings: { ...findings, parts: inFoundOrder(findings.parts, order) },
    pictures: pictures.map((facts) => {
      const item = lot.items.find((i) => i.picture === facts);
      return item ? { ...facts, scale: scaleOf(item, lot, options) } : facts;
    }),
    ...read,
    items: usable,
    before,
  };
}

/** Parts of the lot itself have no code that another part of it could not have. */
const alone = { given: true, aside: [], ofOtherCode: () => false };

/** Changes of the reference part before the lot is taken as it stands. */
const mostChanges = 3;

/** Parts in the order in which they were found. */
function inFoundOrder(parts: readonly LotPart[], order: readonly string[]): LotPart[] {
  const place = new Map(order.map((id, i) => [id, i]));
  return [...parts].sort((p, q) => (place.get(p.id) ?? 0) - (place.get(q.id) ?? 0));
}
