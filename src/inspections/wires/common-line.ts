import { evenly } from "../../numeric/evenly.ts";
import type { CourseNorm, CourseReading, Play } from "./read-course.ts";
import { centredCourse, commonShift, courseNorm, readCourse, shareOfWire } from "./read-course.ts";
import type { WireCourse } from "./search-courses.ts";
import { driftPx } from "./search-courses.ts";
import type { WirePart, WireScene } from "./wire-parts.ts";
import { brokenAt } from "./wire-state.ts";

/** A course with what every part shows along it. */
export interface CommonLine {
  readonly course: WireCourse;
  readonly readings: readonly CourseReading[];
  readonly norm: CourseNorm;
}

/** Reads every part along a course, moved to where most wires run. */
export function readAll(
  found: WireCourse,
  parts: readonly WirePart[],
  scene: WireScene,
  flankPx: number,
): CommonLine {
  const play = usualPlay(scene);
  const first = evenly(parts, 15).map((part) => readCourse(part, found, scene, flankPx, play));
  const course = centredCourse(found, first, scene.die);
  const readings = parts.map((part) => readCourse(part, course, scene, flankPx, play));
  return { course, readings, norm: courseNorm(readings) };
}

/** How far beside a lead's middle a wire may start, px. */
const tipPlayPx = 6;

/** How far from a common course the parts' own wires are looked for. */
export function usualPlay(scene: WireScene): Play {
  return { startPx: tipPlayPx, endPx: tipPlayPx + driftPx(scene), shiftPx: [0, 0] };
}

/** What one part shows along a course, wherever near it that was found. */
export interface ReadWire {
  readonly reading: CourseReading;
  /** Found only beyond where its like run. */
  readonly far: boolean;
}

/**
 * Reads again the wires that were not seen: where the part's other bonds say that all are shifted, and further out.
 * Beside the middle of a cone of rays bonds, which lie higher, are seen further out than the frame below them.
 *
 * @param readings of this part along each line
 */
export function readAgain(
  part: WirePart,
  readings: readonly CourseReading[],
  lines: readonly CommonLine[],
  scene: WireScene,
  flankPx: number,
): ReadWire[] {
  const first = readings.map((reading): ReadWire => ({ reading, far: false }));
  const clear = (wire: ReadWire, line: CommonLine) =>
    shareOf(wire, line) > clearlySeen && !brokenAt(wire.reading, line.norm, 1);
  const usual = usualPlay(scene);
  const known = commonShift(
    first.filter((wire, k) => clear(wire, lines[k] as CommonLine)).map((wire) => wire.reading),
  );
  const shiftPx = known ?? usual.shiftPx;
  const shifted = { ...usual, shiftPx };
  const wide = { startPx: 1.7 * usual.startPx, endPx: usual.endPx + usual.startPx, shiftPx };
  return lines.map((line, k) => {
    let best = first[k] as ReadWire;
    for (const play of [shifted, wide]) {
      if (clear(best, line)) break;
      const reading = readCourse(part, line.course, scene, flankPx, play);
      // Beside its like only where the part's other wires say where those are.
      const far = known !== null && play === wide && Math.abs(reading.asidePx[1]) > usual.endPx;
      if (shareOf({ reading, far }, line) > shareOf(best, line) + 0.1) best = { reading, far };
    }
    return best;
  });
}

const clearlySeen = 0.6;

export function shareOf({ reading }: ReadWire, { norm }: CommonLine): number {
  return shareOfWire(reading, norm).share;
}
