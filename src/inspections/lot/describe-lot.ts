import type { Scale } from "../../radiograph/radiograph.ts";
import { alignedForReport } from "./aligned-for-report.ts";
import { asidePart } from "./aside-part.ts";
import type { CalledPart } from "./calling/call-differences.ts";
import { callDifferences } from "./calling/call-differences.ts";
import type { GroupScene } from "./details/group-scenes.ts";
import { lotDetails } from "./details/lot-details.ts";
import { callAgainstExemplar } from "./exemplars/call-against-exemplar.ts";
import type { ComparedExemplars } from "./exemplars/compare-exemplars.ts";
import type { GatheredExemplars } from "./exemplars/gather-exemplars.ts";
import { lotIdentity } from "./exemplars/identity.ts";
import { expectedWires } from "./expected-wires.ts";
import type { ComparedLot } from "./grouping/compare-lot.ts";
import { describeCompared, describeGroups, groupName, knowsNormal } from "./grouping/judge-groups.ts";
import { splitFollows } from "./grouping/split-follows.ts";
import type { LotItem } from "./lot-item.ts";
import type { LotWires, PartWires } from "./lot-wires.ts";
import { bodyCorners, describeMeasurements, describePose } from "./measuring/describe-part.ts";
import type { MeasuredLot } from "./measuring/measure-lot.ts";
import type { LotOptions } from "./options.ts";
import { lotMethod } from "./options.ts";
import { scaleOf } from "./picture-scale.ts";
import { otherScale } from "./placing/other-scale.ts";
import { measurableIn, perspectiveCompared, perspectives } from "./placing/perspective.ts";
import type { PlacedLot } from "./placing/place-lot.ts";
import type { EarlierParts } from "./portions/earlier-parts.ts";
import type { ExemplarFindings, LotCall, LotFindings, LotLeadEnd, LotPart } from "./result.ts";

/** A lot placed, measured and compared. */
export interface WorkedLot {
  readonly lot: PlacedLot;
  readonly measuredLot: MeasuredLot;
  readonly compared: ComparedLot;
  readonly scenes: readonly (GroupScene | null)[];
  readonly wires: LotWires;
  readonly against: ComparedExemplars;
  /** How the groups lie to parts inspected before. */
  readonly before: readonly ExemplarFindings[];
}

/**
 * What was found in a lot: parts with their calls, groups, what was compared.
 *
 * @param aside parts that were found but not compared
 * @param oddAmong decides which groups are the odd ones where the lot is a portion of a larger one
 */
export function describeLot(
  { lot, measuredLot, compared, scenes, wires, against, before }: WorkedLot,
  aside: readonly LotItem[],
  options: LotOptions,
  oddAmong?: EarlierParts["odd"],
): LotFindings {
  const told = lotIdentity(compared.groupOf, against.exemplars, against.given);
  const { identity, verdicts } = told;
  const odd = oddAmong?.(compared.groupOf, before, against.exemplars) ?? told.odd;
  const { images } = measuredLot;
  const scales = lot.items.map((item) => scaleOf(item, lot, options));
  const lotScale = scales[lot.reference] as Scale;
  const called = callDifferences(lot, measuredLot, compared, odd, lotScale);
  const details = lotDetails(lot, measuredLot, compared.groupOf, scenes, called, odd, wires, lotScale);
  const inPerspective = perspectives(lot.items);
  const scaleCalls = otherScale(lot, inPerspective);
  const parts: LotPart[] = lot.items.map((item, i) => {
    const group = compared.groupOf[i] as number;
    const { oddness } = called[i] as CalledPart;
    const calls = details.calls[i] as readonly LotCall[];
    const { seen: wiresSeen, calls: wireCalls, wires: partWires } = wires.parts[i] as PartWires;
    const scale = scaleCalls[i] ?? null;
    const inside = [...calls, ...wireCalls];
    if (odd.has(group) && !inside.length)
      inside.push(...callAgainstExemplar(bodyCorners(item, lot.frame), group, against.exemplars));
    const suspect = odd.has(group) || inside.length > 0 || (scale?.suspect ?? false);
    return {
      id: item.id,
      picture: item.picture.picture,
      cornersPx: bodyCorners(item, lot.frame),
      group: groupName(group),
      suspect,
      assessable: true,
      because: null,
      pose: describePose(item.aligned),
      relativeScale: item.aligned.scale,
      measurements: measurableIn(inPerspective.get(item.picture.picture), {
        ...describeMeasurements(
          item,
          measuredLot.parts[i] as MeasuredLot["parts"][number],
          scales[i] as Scale,
          calls.some((c) => c.kind === "absent-die"),
        ),
        wiresSeen,
      }),
      wires: partWires,
      leadEnds: details.leadEnds[i] as readonly LotLeadEnd[],
      calls: scale ? [...inside, scale.call] : inside,
      oddness: Math.max(
        oddness,
        calls.length ? 1.01 : 0,
        wireCalls.length ? 2 : 0,
        scale?.suspect ? 1.01 : 0,
      ),
    };
  });
  const groups = describeGroups(lot, compared, lotScale, verdicts);
  const suspects = parts.filter((p) => p.suspect).map((p) => p.id);
  const normal = knowsNormal(lot, compared.groupOf);
  // Signs of earlier use say nothing of what is inside.
  const differ =
    groups.length > 1 ||
    parts.some((p) => p.suspect && !isSupportOnly(p, odd.has(compared.groupOf[parts.indexOf(p)] as number)));
  const enough = lot.items.length >= 3;
  return {
    method: lotMethod,
    parts: [...parts, ...aside.map(asidePart)],
    groups,
    exemplars: against.exemplars,
    suspects,
    split: splitFollows(lot, compared),
    compared: [
      ...describeCompared(lot, measuredLot, compared, lotScale),
      wires.compared,
      ...(options.wire ? [expectedWires(lot, options.wire, lotScale)] : []),
      ...details.compared,
      ...perspectiveCompared(inPerspective),
    ],
    conclusion: !normal ? "not-assessable" : differ ? "mixed" : enough ? "consistent" : "not-assessable",
    identity,
    aligned: alignedForReport(lot, images, compared, called, against.aligned),
  };
}

export function tooFew(items: readonly LotItem[], exemplars: GatheredExemplars): LotFindings {
  return {
    method: lotMethod,
    parts: items.map(asidePart),
    groups: [],
    exemplars: [],
    suspects: [],
    split: null,
    compared: [],
    conclusion: "not-assessable",
    identity: exemplars.given ? "not-comparable" : "no-exemplar",
    aligned: { width: 0, height: 0, bodyBoxPx: [0, 0, 0, 0], parts: [], averages: [], exemplars: [] },
  };
}

/** Whether a part is suspect for supporting evidence alone. */
export function isSupportOnly({ calls }: Pick<LotPart, "calls">, oddGroup: boolean): boolean {
  return !oddGroup && calls.length > 0 && calls.every((call) => call.kind === "prior-use");
}
