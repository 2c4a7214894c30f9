import { median, medianAbsoluteDeviation } from "../../numeric/order.ts";
import { readAgain, usualPlay } from "./common-line.ts";
import type { ComparedWires } from "./compare-wires.ts";
import type { PartWire } from "./judge-part.ts";
import { extraWires, judgePart, wireGain } from "./judge-part.ts";
import type { CourseReading } from "./read-course.ts";
import { readCourse } from "./read-course.ts";
import type { WirePart } from "./wire-parts.ts";

/**
 * The wires of a part that is none of the group, held against those that the group's parts have in common: an
 * exemplar, or a part of another picture set. It may have been taken at another exposure: its contrast is measured on
 * its own wires, its noise on the lightest lines beside them.
 *
 * @param part in the group's frame
 * @returns one entry for each lead that has a wire in the group, and one for each wire that only this part shows;
 *   none where the group's wires are not known
 */
export function judgeExtraPart({ known, parts }: ComparedWires, part: WirePart): PartWire[] {
  const { scene, flankPx, wires, bare, typical, plain } = known;
  if (!wires.length || !parts.length) return [];
  const lines = wires.map(({ line }) => line);
  const first = lines.map(({ course }) => readCourse(part, course, scene, flankPx, usualPlay(scene)));
  const read = readAgain(part, first, lines, scene, flankPx);
  const gain = wireGain(read, lines);
  const own = chanceOf(first);
  const theirs = median(
    parts.map((_, p) => chanceOf(lines.map(({ readings }) => readings[p] as CourseReading))),
  );
  const noise = theirs > 0 ? Math.max(1, own / theirs) : 1;
  const judged = judgePart(part, wires, read, gain, noise, known);
  return plain && noise < mostNoise
    ? [...judged, ...extraWires(part, bare, gain * typical, scene, flankPx)]
    : judged;
}

/** In a picture this much noisier what looks like a wire beside the known ones may be chance. */
const mostNoise = 2;

/** How far the lightest lines beside a part's wires vary: what chance makes in it. */
function chanceOf(readings: readonly CourseReading[]): number {
  const light = readings.flatMap((reading) => reading.light.filter((v) => Number.isFinite(v)));
  return light.length ? medianAbsoluteDeviation(light) : 0;
}
