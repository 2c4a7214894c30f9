import { evenly } from "../../numeric/evenly.ts";
import { median, quantile, robustSpread } from "../../numeric/order.ts";
import type { BondingSplit } from "./bonding-split.ts";
import { bondingSplit } from "./bonding-split.ts";
import type { CommonLine, ReadWire } from "./common-line.ts";
import { readAgain, readAll, shareOf } from "./common-line.ts";
import { isHollow } from "./hollow-course.ts";
import type { KnownWires, PartWire } from "./judge-part.ts";
import { extraWires, judgePart, otherCourseShare, wireGain } from "./judge-part.ts";
import { likelyCourses, wireFlank } from "./likely-courses.ts";
import type { CourseNorm, CourseReading } from "./read-course.ts";
import { stretches } from "./read-course.ts";
import { roomBeside } from "./room-beside.ts";
import { wiresRunningOn } from "./run-on.ts";
import type { FoundCourse } from "./search-courses.ts";
import type { LeadTip, WirePart, WireScene } from "./wire-parts.ts";
import { clearContrastToNoise, leastShare } from "./wire-state.ts";

export type { PartWire } from "./judge-part.ts";

/** The wires of parts of one construction, compared with each other. */
export interface ComparedWires {
  /** Inner lead ends found. */
  readonly leads: number;
  /** Leads from which most parts show a wire. */
  readonly bonded: readonly number[];
  /** What they have in common, to judge further parts by. */
  readonly known: KnownWires;
  /** Where many parts have a wire and many have none; null where all are bonded in one way. */
  readonly split: BondingSplit | null;
  /** By part: one entry a bonded lead, and one for each wire that only this part shows. */
  readonly parts: readonly (readonly PartWire[])[];
}

/** Shares of a wire are not known to vary by less. */
const leastSpread = 1e-3;

/** Fewer parts do not show what their wires have in common. */
const leastPartsForWires = 3;
/** In groups smaller than this one part's readings do not say how far they vary. */
const leastForSpread = 5;

/** Parts on which courses are looked for; all are read. */
const searchedParts = 8;
/** Wires are sought beside the common ones where those stand out by this many times the noise of open field. */
const leastOfExtra = 3;
/** Share of the parts that must show a wire for it to be the construction's; of three two. */
const leastShowingShare = 0.7;

function leastShowing(parts: number): number {
  return parts === 3 ? 2 : leastShowingShare * parts;
}

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
  if (!candidates.length) {
    const known = { scene, flankPx, wires: [], bare: [], typical: 0, plain: false };
    return { leads: leads.length, bonded: [], known, split: null, parts: parts.map(() => []) };
  }
  const lines = inSmallGroup(
    readAll(
      candidates.map(({ course }) => course),
      parts,
      scene,
      flankPx,
    ),
    parts.length,
  );
  const read = parts.map((part, p) =>
    readAgain(
      part,
      lines.map((line) => line.readings[p] as CourseReading),
      lines,
      scene,
      flankPx,
    ),
  );
  const gains = read.map((wires) => wireGain(wires, lines));
  const common = lines.flatMap((line, k) => {
    const shares = read.flatMap((wires, p) =>
      parts[p]?.die ? [shareOf(wires[k] as ReadWire, line) / (gains[p] as number)] : [],
    );
    const showing = shares.filter((share) => share > leastShare).length;
    const strength = (candidates[k] as FoundCourse).strength;
    if (showing < leastShowing(shares.length) || isHollow(knownStretches(line.norm), line.norm.chance))
      return [];
    const roomPx = usualRoom(parts, read, line, k, scene);
    const spread = Math.max(leastSpread, robustSpread(shares));
    return [{ k, known: { line, roomPx, spread, strength } }];
  });
  const usualSpread = common.length ? median(common.map(({ known }) => known.spread)) : 0;
  // In a small group one odd part is most of a course's own spread.
  const wires = common.map(({ known }) =>
    parts.length < leastForSpread ? { ...known, spread: usualSpread } : known,
  );
  const typical = median(candidates.map((f) => f.strength));
  // A lead whose course was likely but not confirmed is not known to have no wire.
  const likely = new Set(candidates.map((f) => f.course.lead));
  const bare = typical > leastOfExtra * openNoise ? tips.filter((tip) => !likely.has(tip.lead)) : [];
  const settled = parts.map((part, p) => {
    const own = common.map(({ k }) => (read[p] as ReadWire[])[k] as ReadWire);
    return judgePart(part, wires, own, gains[p] as number, 1, { scene, flankPx });
  });
  // Where the common wires are faint or few, what else looks like one is structure.
  const noise = settled.flat().map((wire) => wire.contrastToNoise);
  const plain = wires.length >= 0.5 * tips.length && median(noise) >= clearContrastToNoise;
  const extras = parts.map((part) =>
    plain ? extraWires(part, bare, typical, scene, flankPx, hintShare) : [],
  );
  const commonLines = wires.map(({ line }) => line);
  const shown = new Set(commonLines.map(({ course }) => course.lead));
  const split = plain
    ? bondingSplit(
        parts,
        tips.filter((tip) => !shown.has(tip.lead)),
        gains,
        median(wires.map(({ strength }) => strength)),
        scene,
        flankPx,
      )
    : null;
  const onward = plain ? onwardLeads(parts, commonLines, scene, flankPx) : parts.map(() => null);
  return {
    leads: leads.length,
    bonded: commonLines.map((line) => line.course.lead),
    known: { scene, flankPx, wires, bare, typical, plain },
    split,
    parts: settled.map((wires, p) => [
      // A wire found elsewhere crosses the ways on of others.
      ...(wires.some((w) => w.state === "elsewhere")
        ? wires
        : wires.map(
            (w): PartWire =>
              w.lead === onward[p] && w.contrastToNoise >= clearContrastToNoise
                ? { ...w, state: "elsewhere" }
                : w,
          )),
      ...(extras[p] as PartWire[]).filter((wire) => wire.share >= otherCourseShare && isRare(wire, extras)),
    ]),
  };
}

/** How far from one course the parts' other wires run, by stretch, in the middle. */
function usualRoom(
  parts: readonly WirePart[],
  read: readonly (readonly ReadWire[])[],
  { course }: CommonLine,
  line: number,
  scene: WireScene,
): number[] {
  const rooms = parts.map((part, p) => {
    const others = (read[p] as readonly ReadWire[]).flatMap(({ reading }, m) =>
      m === line ? [] : [reading.linePx],
    );
    return roomBeside(part, course, others, scene);
  });
  return Array.from({ length: stretches }, (_, k) => median(rooms.map((room) => room[k] as number)));
}

/** What a wire adds by stretch, NaN where no part tells. */
function knownStretches({ wire, spread }: CourseNorm): number[] {
  return wire.map((v, k) => (Number.isFinite(spread[k] as number) ? v : Number.NaN));
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

/** A wire that stands out by this share of its like is hinted at: where many parts hint at one it is no odd one. */
const hintShare = 0.3;

/** What many parts show is theirs by design, though not clear enough to be compared. */
function isRare({ lead }: PartWire, extras: readonly (readonly PartWire[])[]): boolean {
  const showing = extras.filter((wires) => wires.some((wire) => wire.lead === lead)).length;
  return showing <= 0.2 * extras.length;
}

/** In a small group each course varies as its courses do in the middle, if not more. */
function inSmallGroup(lines: readonly CommonLine[], parts: number): readonly CommonLine[] {
  if (parts >= leastForSpread) return lines;
  const usual = median(lines.flatMap(({ norm }) => norm.spread));
  return lines.map((line) => ({
    ...line,
    norm: { ...line.norm, spread: line.norm.spread.map((spread) => Math.max(spread, usual)) },
  }));
}
