import { evenly } from "../../numeric/evenly.ts";
import type { PointPx } from "../../numeric/image.ts";
import { median, medianAbsoluteDeviation, quantile } from "../../numeric/order.ts";
import type { CommonLine, ReadWire } from "./common-line.ts";
import { readAgain, readAll, shareOf, usualPlay } from "./common-line.ts";
import { likelyCourses, wireFlank } from "./likely-courses.ts";
import { shareOfWire } from "./read-course.ts";
import { wiresRunningOn } from "./run-on.ts";
import type { FoundCourse } from "./search-courses.ts";
import { courseEnd, searchCourses } from "./search-courses.ts";
import type { LeadTip, WirePart, WireScene } from "./wire-parts.ts";
import type { WireState } from "./wire-state.ts";
import {
  brokenAt,
  clearContrastToNoise,
  leastContrastToNoise,
  leastShare,
  nothingBeside,
  wireState,
} from "./wire-state.ts";

/** One wire of one part. */
export interface PartWire {
  /** Lead it starts from, counted clockwise around the body from its top left corner; not a pin number. */
  readonly lead: number;
  readonly state: WireState;
  /** How much of the wire that its like show is seen: 1 as the others, 0 none. */
  readonly share: number;
  /** Contrast of such a wire along its course to what chance leaves in one part. */
  readonly contrastToNoise: number;
  /** Its ends, or those of the course that it should have, in the frame. */
  readonly fromPx: PointPx;
  readonly toPx: PointPx;
}

/** The wires of parts of one construction, compared with each other. */
export interface ComparedWires {
  /** Inner lead ends found. */
  readonly leads: number;
  /** Leads from which most parts show a wire. */
  readonly bonded: readonly number[];
  /** By part: one entry a bonded lead, and one for each wire that only this part shows. */
  readonly parts: readonly (readonly PartWire[])[];
}

/** Fewer parts do not show what their wires have in common. */
export const leastPartsForWires = 5;

/** Parts on which courses are looked for; all are read. */
const searchedParts = 8;
/** Share of the parts that must show a wire for it to be the construction's. */
const leastShowing = 0.7;

/**
 * Finds the bond wires that parts of one construction have in common, then says of each part which of them it shows.
 *
 * @param parts in one frame, of one construction
 * @param leads inner lead ends that their average shows; a wire is looked for at those free of the pad
 * @param openNoise attenuation noise of one pixel in open field
 * @returns null with fewer parts than `leastPartsForWires`
 * @see docs/methods/wires.md
 */
export function compareWires(
  parts: readonly WirePart[],
  leads: readonly LeadTip[],
  scene: WireScene,
  openNoise: number,
): ComparedWires | null {
  const withDie = parts.filter((p) => p.die);
  if (withDie.length < leastPartsForWires) return null;
  const tips = leads.filter((lead) => lead.fusedToPad === false);
  const some = evenly(withDie, searchedParts);
  const flankPx = wireFlank(some, scene, tips);
  const candidates = likelyCourses(tips, some, scene, flankPx, openNoise);
  if (!candidates.length) return { leads: leads.length, bonded: [], parts: parts.map(() => []) };
  const lines = candidates.map((found) => readAll(found.course, parts, scene, flankPx));
  const read = parts.map((part, p) => readAgain(part, p, lines, scene, flankPx));
  const gains = read.map((wires) => wireGain(wires.map((w, k) => shareOf(w, lines[k] as CommonLine))));
  const shares = lines.map((line, k) =>
    read.map((wires, p) => shareOf(wires[k] as ReadWire, line) / (gains[p] as number)),
  );
  const common = lines.flatMap((_, k) => {
    const seen = (shares[k] as number[]).filter((_, p) => parts[p]?.die);
    const showing = seen.filter((share) => share > leastShare).length;
    return showing >= leastShowing * seen.length ? [{ k, spread: robustSpread(seen) }] : [];
  });
  const typical = median(candidates.map((f) => f.strength));
  // A lead whose course was likely but not confirmed is not known to have no wire.
  const known = new Set(candidates.map((f) => f.course.lead));
  const bare = typical > leastOfExtra * openNoise ? tips.filter((tip) => !known.has(tip.lead)) : [];
  const settled = parts.map((part, p) =>
    common.map(({ k, spread }): PartWire => {
      const gain = gains[p] as number;
      const wire = partWire(
        part,
        lines[k] as CommonLine,
        (read[p] as ReadWire[])[k] as ReadWire,
        gain,
        spread,
        scene,
      );
      const least = otherCourseShare * gain * (candidates[k] as FoundCourse).strength;
      return soughtElsewhere(wire, part, least, scene, flankPx);
    }),
  );
  // Where the common wires are faint or few, what else looks like one is structure.
  const noise = settled.flat().map((wire) => wire.contrastToNoise);
  const plain = common.length >= 0.5 * tips.length && median(noise) >= clearContrastToNoise;
  const extras = parts.map((part) => (plain ? extraWires(part, bare, typical, scene, flankPx) : []));
  const commonLines = common.map(({ k }) => lines[k] as CommonLine);
  const onward = plain ? onwardLeads(parts, commonLines, scene, flankPx) : parts.map(() => null);
  return {
    leads: leads.length,
    bonded: commonLines.map((line) => line.course.lead),
    parts: settled.map((wires, p) => [
      // A wire found elsewhere crosses the ways on of others.
      ...(wires.some((w) => w.state === "elsewhere")
        ? wires
        : wires.map((w): PartWire => (w.lead === onward[p] ? { ...w, state: "elsewhere" } : w))),
      ...(extras[p] as PartWire[]).filter((wire) => isRare(wire, extras)),
    ]),
  };
}

/** By part, the lead whose wire runs on furthest over the die beyond the usual bond; null where none does. */
function onwardLeads(
  parts: readonly WirePart[],
  lines: readonly CommonLine[],
  scene: WireScene,
  flankPx: number,
): (number | null)[] {
  const runs = lines.map((line) =>
    wiresRunningOn(parts, line.course, scene, flankPx, quantile(line.norm.most, 0.25)),
  );
  return parts.map((_, p) => {
    const own = runs.map((run) => run[p] as number);
    const longest = Math.max(0, ...own);
    return longest > 0 ? (lines[own.indexOf(longest)] as CommonLine).course.lead : null;
  });
}

/** Strength, against the lot's courses, at which another course is a wire. */
const otherCourseShare = 0.6;

/** A wire that is not where it should be may run to another place of the die. */
function soughtElsewhere(
  wire: PartWire,
  part: WirePart,
  leastStrength: number,
  scene: WireScene,
  flankPx: number,
): PartWire {
  if (wire.state !== "absent" && wire.state !== "unclear") return wire;
  if (wire.contrastToNoise < clearContrastToNoise) return wire;
  const [best] = searchCourses([part], scene, { lead: wire.lead, tipPx: wire.fromPx }, flankPx);
  if (!best || best.strength < leastStrength) return wire;
  const toPx = courseEnd(best.course, part.die ?? scene.die);
  const away = Math.hypot(toPx[0] - wire.toPx[0], toPx[1] - wire.toPx[1]) > 2 * usualPlay(scene).endPx;
  return { ...wire, state: away ? "elsewhere" : "unclear", toPx };
}

/** What many parts show is theirs by design, though not clear enough to be compared. */
function isRare({ lead }: PartWire, extras: readonly (readonly PartWire[])[]): boolean {
  const showing = extras.filter((wires) => wires.some((wire) => wire.lead === lead)).length;
  return showing <= 0.2 * extras.length;
}

/** How strongly a part shows its wires against the lot: other exposures give other contrast. */
function wireGain(shares: readonly number[]): number {
  const seen = shares.filter((share) => share > 0.25);
  return seen.length >= 3 ? Math.min(3, Math.max(1 / 3, median(seen))) : 1;
}

function robustSpread(values: readonly number[]): number {
  return Math.max(1e-3, 1.4826 * medianAbsoluteDeviation(values));
}

/** Wires are sought beside the common ones where those stand out by this many times the noise of open field. */
const leastOfExtra = 3;

function partWire(
  part: WirePart,
  { course, norm }: CommonLine,
  { reading, far }: ReadWire,
  gain: number,
  spread: number,
  scene: WireScene,
): PartWire {
  const { share: raw, contrastToNoise } = shareOfWire(reading, norm);
  const share = raw / gain;
  const seeable = Math.min(gain * contrastToNoise, 1 / spread);
  const [x, y] = courseEnd(course, part.die ?? scene.die);
  const aside = share > leastShare ? reading.asidePx[1] : 0;
  return {
    lead: course.lead,
    state: wireState({
      share,
      contrastToNoise: seeable,
      broken: brokenAt(reading, norm, gain),
      far,
      nothingBeside: share <= leastShare && nothingBeside(reading, norm, gain),
      die: part.die !== null,
    }),
    share,
    contrastToNoise: seeable,
    fromPx: course.tipPx,
    toPx: [x + aside * reading.leftAtEnd[0], y + aside * reading.leftAtEnd[1]],
  };
}

/** Wires of a part from leads that have none in the others: as strong as its like have theirs. */
function extraWires(
  part: WirePart,
  tips: readonly LeadTip[],
  typical: number,
  scene: WireScene,
  flankPx: number,
): PartWire[] {
  if (!part.die) return [];
  return tips.flatMap((tip) => {
    const [best] = searchCourses([part], scene, tip, flankPx);
    if (!best || best.strength < otherCourseShare * typical) return [];
    return [
      {
        lead: tip.lead,
        state: "elsewhere" as const,
        share: best.strength / typical,
        contrastToNoise: leastContrastToNoise,
        fromPx: tip.tipPx,
        toPx: courseEnd(best.course, part.die ?? scene.die),
      },
    ];
  });
}
