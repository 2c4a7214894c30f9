import type { Scale } from "../../../radiograph/radiograph.ts";
import type { CalledPart } from "../calling/call-differences.ts";
import type { LotWires } from "../lot-wires.ts";
import type { MeasuredLot } from "../measuring/measure-lot.ts";
import type { PlacedLot } from "../placing/place-lot.ts";
import type { LotCall, LotCompared, LotLeadEnd } from "../result.ts";
import { diePlace } from "./die-place.ts";
import { foreignMatter } from "./foreign-matter.ts";
import { frameCompared, frameFeatures } from "./frame-features.ts";
import type { GroupScene } from "./group-scenes.ts";
import { leadEnds } from "./lead-ends.ts";
import { nameDifference } from "./name-differences.ts";
import { priorUse } from "./prior-use.ts";
import { stackedDies } from "./stacked-dies.ts";

/** The details of a lot, by part. */
export interface LotDetails {
  /** Calls on the part's differences and details, what is said twice left out. */
  readonly calls: readonly (readonly LotCall[])[];
  readonly leadEnds: readonly (readonly LotLeadEnd[])[];
  readonly compared: readonly LotCompared[];
}

/**
 * Looks at the named details of every part against its group.
 *
 * @param called what the parts' differences gave
 * @param odd groups held to be the odd ones
 * @see docs/methods/details.md
 */
export function lotDetails(
  lot: PlacedLot,
  measured: MeasuredLot,
  groupOf: readonly number[],
  scenes: readonly (GroupScene | null)[],
  called: readonly CalledPart[],
  odd: ReadonlySet<number>,
  wires: LotWires,
  scale: Scale,
): LotDetails {
  const differing = new Set(called.flatMap(({ calls }, i) => (calls.length ? [i] : [])));
  const leads = leadEnds(lot, measured, scenes, differing, odd, scale);
  const known = wires.groups.map((group) => group?.known ?? null);
  const elsewhere = new Set(
    wires.parts.flatMap(({ calls }, i) => (calls.some((c) => c.kind === "wire-elsewhere") ? [i] : [])),
  );
  const details = [
    leads,
    diePlace(lot, measured, scenes, scale),
    foreignMatter(lot, measured, scenes, known, elsewhere, scale),
    priorUse(lot, measured, scenes, scale),
  ];
  const frames = scenes.map((group) => group && { group, features: frameFeatures(group) });
  const pad = measured.consensus.pad;
  return {
    calls: called.map(({ calls, places }, i) => {
      const own = frames[groupOf[i] as number] ?? null;
      const named = details.flatMap((detail) => detail.calls[i] ?? []);
      const others = calls.map((call) => {
        const place = places.find((p) => p.call === call);
        return place ? nameDifference(place, own, frames[0] ?? null, pad) : call;
      });
      return [...others.filter((call) => !saidBy(call, named)), ...named];
    }),
    leadEnds: leads.ends,
    compared: [
      ...details.flatMap((detail) => detail.compared),
      ...frameCompared(frames, lot, scale),
      stackedDies(lot, measured),
    ],
  };
}

/** Whether a nameless difference is what a named detail says. */
function saidBy({ kind, boxPx }: LotCall, named: readonly LotCall[]): boolean {
  if (kind !== "foreign" && kind !== "other") return false;
  const [x, y] = [boxPx[0] + boxPx[2] / 2, boxPx[1] + boxPx[3] / 2];
  return named.some(({ boxPx: [left, top, width, height] }) => {
    return x >= left && x <= left + width && y >= top && y <= top + height;
  });
}
