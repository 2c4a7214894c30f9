import type { PointPx } from "../../numeric/image.ts";
import { median } from "../../numeric/order.ts";
import { fractionsIn } from "../../numeric/oriented-rectangle.ts";
import type { CommonLine, ReadWire } from "./common-line.ts";
import { shareOf, usualPlay } from "./common-line.ts";
import { readCourse, shareOfWire, stretches } from "./read-course.ts";
import { crowdedShare, roomBeside } from "./room-beside.ts";
import { courseEnd, searchCourses } from "./search-courses.ts";
import type { LeadTip, WirePart, WireScene } from "./wire-parts.ts";
import type { WireState } from "./wire-state.ts";
import {
  brokenAt,
  clearContrastToNoise,
  core,
  coreEmpty,
  leastContrastToNoise,
  leastShare,
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

/** A course on which a group's parts show a wire, with what is known of it. */
export interface KnownWire {
  readonly line: CommonLine;
  /** How far off the nearest other wire runs, by stretch, middle over the parts, px. */
  readonly roomPx: readonly number[];
  /** Robust spread of the parts' shares of it. */
  readonly spread: number;
  /** Attenuation by which it stands out along its weakest third. */
  readonly strength: number;
}

/** What a group's parts have in common of their wires. */
export interface KnownWires {
  readonly scene: WireScene;
  readonly flankPx: number;
  readonly wires: readonly KnownWire[];
  /** Leads that have no wire. */
  readonly bare: readonly LeadTip[];
  /** Middle strength of its courses. */
  readonly typical: number;
  /** Whether the wires are clear and many enough for what else looks like one to be one. */
  readonly plain: boolean;
}

/**
 * What is said of the wires that one part should have.
 *
 * @param read along each of the known wires
 * @param gain how strongly this part shows its wires against the group
 * @param noise of this part against the group's, 1: as theirs
 */
export function judgePart(
  part: WirePart,
  wires: readonly KnownWire[],
  read: readonly ReadWire[],
  gain: number,
  noise: number,
  { scene, flankPx }: Pick<KnownWires, "scene" | "flankPx">,
): PartWire[] {
  return wires.map((known, k): PartWire => {
    const others = read.flatMap(({ reading }, m) => (m === k ? [] : [reading.linePx]));
    const room = roomBeside(part, known.line.course, others, scene);
    const crowded = (from: number, to: number) => crowdedShare(room, known.roomPx, from, to) > mostCrowded;
    const wire = partWire(part, known, read[k] as ReadWire, gain, noise, scene, crowded);
    if (wire.state !== "seen" && crowded(0, stretches)) return wire;
    const least = otherCourseShare * gain * known.strength;
    const found = soughtElsewhere(wire, part, others, least, scene, flankPx);
    if (found.state !== "elsewhere" || wire.state === "elsewhere" || scene.closePx === undefined)
      return found;
    return isOwnLine(part, found, known, gain, others, { scene, flankPx }) ? found : wire;
  });
}

/** Where another wire runs beside more than this share of what would tell, a wire is not held to be missing there. */
const mostCrowded = 0.34;

/** Stretches of another course that must show a wire beside those of others. */
const leastOwn = 8;
const ownPlayPx = 2;

/** Whether another course shows a wire of its own: where wires lie close, lines across them cross many. */
function isOwnLine(
  part: WirePart,
  { lead, fromPx, toPx }: PartWire,
  { line: { norm } }: KnownWire,
  gain: number,
  others: readonly (readonly PointPx[])[],
  { scene, flankPx }: Pick<KnownWires, "scene" | "flankPx">,
): boolean {
  const course = { lead, tipPx: fromPx, onDie: fractionsIn(part.die ?? scene.die, toPx) };
  const beside = { taken: others, mostUneven: norm.mostUneven };
  const play = { startPx: ownPlayPx, endPx: ownPlayPx, shiftPx: [0, 0] as const };
  const { dense } = readCourse(part, course, scene, flankPx, play, beside);
  const least = leastShare * gain * median(norm.wire);
  return dense.filter((value) => value > least).length >= leastOwn;
}

/** How strongly a part shows its wires against the group: other exposures give other contrast. */
export function wireGain(read: readonly ReadWire[], lines: readonly CommonLine[]): number {
  const shares = read.map((wire, k) => shareOf(wire, lines[k] as CommonLine));
  const seen = shares.filter((share) => share > 0.25);
  return seen.length >= 3 ? Math.min(3, Math.max(1 / 3, median(seen))) : 1;
}

/** Strength, against the lot's courses, at which another course is a wire. */
export const otherCourseShare = 0.6;

/** A wire seen by no more than this share of it may be another one that crosses its course. */
const mostOfPartly = 0.75;

/** A wire that is not where it should be may run to another place of the die. */
function soughtElsewhere(
  wire: PartWire,
  part: WirePart,
  others: readonly (readonly PointPx[])[],
  leastStrength: number,
  scene: WireScene,
  flankPx: number,
): PartWire {
  const partly = wire.state === "seen" && wire.share < mostOfPartly;
  if (wire.state !== "absent" && wire.state !== "unclear" && !partly) return wire;
  if (wire.contrastToNoise < clearContrastToNoise) return wire;
  const [best] = searchCourses([part], scene, { lead: wire.lead, tipPx: wire.fromPx }, flankPx);
  if (!best || best.strength < leastStrength) return wire;
  const toPx = courseEnd(best.course, part.die ?? scene.die);
  const away = Math.hypot(toPx[0] - wire.toPx[0], toPx[1] - wire.toPx[1]) > 2 * usualPlay(scene).endPx;
  if (partly && (!away || alongOthers(wire.fromPx, toPx, others) > mostAlongOthers)) return wire;
  return { ...wire, state: away ? "elsewhere" : "unclear", toPx };
}

/** A course of which more than this share lies on other wires is made of them. */
const mostAlongOthers = 0.2;

/** Share of a straight way that lies on other wires. */
function alongOthers([x0, y0]: PointPx, [x1, y1]: PointPx, others: readonly (readonly PointPx[])[]): number {
  const steps = 40;
  let on = 0;
  for (let k = 0; k < steps; k++) {
    const t = (k + 0.5) / steps;
    const [x, y] = [x0 + t * (x1 - x0), y0 + t * (y1 - y0)];
    if (others.some((line) => line.some(([u, v]) => (u - x) ** 2 + (v - y) ** 2 <= 4))) on++;
  }
  return on / steps;
}

function partWire(
  part: WirePart,
  { line: { course, norm }, spread }: KnownWire,
  { reading, far, disputed }: ReadWire,
  gain: number,
  noise: number,
  scene: WireScene,
  crowded: (from: number, to: number) => boolean,
): PartWire {
  const { share: raw, contrastToNoise } = shareOfWire(reading, norm);
  const share = raw / gain;
  const seeable = Math.min((gain * contrastToNoise) / noise, 1 / spread);
  const [x, y] = courseEnd(course, part.die ?? scene.die);
  const gap = brokenAt(reading, norm, gain);
  const aside = share > leastShare ? reading.asidePx[1] : 0;
  return {
    lead: course.lead,
    state: wireState({
      share,
      contrastToNoise: seeable,
      broken: gap !== null,
      far,
      disputed: disputed || crowded(...(gap ?? core)),
      coreEmpty: coreEmpty(reading, norm, gain),
      die: part.die !== null,
    }),
    share,
    contrastToNoise: seeable,
    fromPx: course.tipPx,
    toPx: [x + aside * reading.leftAtEnd[0], y + aside * reading.leftAtEnd[1]],
  };
}

/**
 * Wires of a part from leads that have none in the others: as strong as its like have theirs.
 *
 * @param leastShare of what its like show
 */
export function extraWires(
  part: WirePart,
  tips: readonly LeadTip[],
  typical: number,
  scene: WireScene,
  flankPx: number,
  leastShare = otherCourseShare,
): PartWire[] {
  if (!part.die) return [];
  return tips.flatMap((tip) => {
    const [best] = searchCourses([part], scene, tip, flankPx);
    if (!best || best.strength < leastShare * typical) return [];
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
