import { median, medianAbsoluteDeviation } from "../../numeric/order.ts";
import { withoutBalls } from "./ball-grid.ts";
import { readAgain, readEmpty, usualPlay } from "./common-line.ts";
import type { ComparedWires } from "./compare-wires.ts";
import type { PartWire } from "./judge-part.ts";
import { extraWires, judgePart, wireGain } from "./judge-part.ts";
import { readCourse } from "./read-course.ts";
import type { WirePart } from "./wire-parts.ts";

/**
 * The wires of a part that is none of the group, held against those that the group's parts have in common: an
 * exemplar, or a part of another picture set. It may have been taken at another exposure: its contrast is measured on
 * its own wires, its noise on what is found beside them.
 *
 * @param whole the part in the group's frame
 * @returns one entry for each lead that has a wire in the group, and one for each wire that only this part shows;
 *   none where the group's wires are not known
 */
export function judgeExtraPart({ known, parts }: ComparedWires, whole: WirePart): PartWire[] {
  const { scene, flankPx, wires, bare, typical, plain } = known;
  if (!wires.length || !parts.length) return [];
  const part = scene.balls ? { ...whole, image: withoutBalls(whole.image, scene.balls) } : whole;
  const lines = wires.map(({ line }) => line);
  const first = lines.map(({ course }) => readCourse(part, course, scene, flankPx, usualPlay(scene)));
  const read = readAgain(part, first, lines, scene, flankPx);
  const gain = wireGain(read, lines);
  const own = chanceOf(
    readEmpty(
      part,
      lines.map(({ course }) => course),
      first,
      lines.map(({ norm }) => gain * norm.mostUneven),
      scene,
      flankPx,
    ),
  );
  const theirs = median(
    parts.map((_, p) => chanceOf(lines.map(({ empty }) => empty[p] as readonly number[]))),
  );
  const noise = theirs > 0 ? Math.max(1, own / theirs) : 1;
  const judged = judgePart(part, wires, read, gain, noise, known);
  return plain && noise < mostNoise
    ? [...judged, ...extraWires(part, bare, gain * typical, scene, flankPx)]
    : judged;
}

/** In a picture this much noisier what looks like a wire beside the known ones may be chance. */
const mostNoise = 2;

/** How far what is found beside a part's wires varies: what chance makes in it. */
function chanceOf(empty: readonly (readonly number[])[]): number {
  const values = empty.flat().filter((v) => Number.isFinite(v));
  return values.length ? medianAbsoluteDeviation(values) : 0;
}
