import { evenly } from "../../numeric/evenly.ts";
import type { PointPx } from "../../numeric/image.ts";
import { median } from "../../numeric/order.ts";
import type { CourseNorm, CourseReading, Play } from "./read-course.ts";
import { centredCourse, commonShift, courseNorm, readCourse, shareOfWire } from "./read-course.ts";
import type { WireCourse } from "./search-courses.ts";
import { driftPx } from "./search-courses.ts";
import type { WirePart, WireScene } from "./wire-parts.ts";
import { gapIn } from "./wire-state.ts";

/** A course with what every part shows along it. */
export interface CommonLine {
  readonly course: WireCourse;
  readonly readings: readonly CourseReading[];
  /** By part and stretch: what the same search finds there once all wires are taken out. */
  readonly empty: readonly (readonly number[])[];
  readonly norm: CourseNorm;
}

/** Reads every part along the courses, moved to where most wires run. */
export function readAll(
  found: readonly WireCourse[],
  parts: readonly WirePart[],
  scene: WireScene,
  flankPx: number,
): CommonLine[] {
  const play = usualPlay(scene);
  const some = evenly(parts, 15);
  const courses = found.map((course) =>
    centredCourse(
      course,
      some.map((part) => readCourse(part, course, scene, flankPx, play)),
      scene.die,
    ),
  );
  const read = parts.map((part) => courses.map((course) => readCourse(part, course, scene, flankPx, play)));
  const uneven = courses.map((_, k) => median(read.map((own) => (own[k] as CourseReading).mostUneven)));
  const empty = parts.map((part, p) =>
    readEmpty(part, courses, read[p] as CourseReading[], uneven, scene, flankPx),
  );
  const gains = gainsOf(read);
  return courses.map((course, k) => {
    const readings = read.map((own) => own[k] as CourseReading);
    const none = empty.map((own) => own[k] as number[]);
    return { course, readings, empty: none, norm: courseNorm(readings, none, gains) };
  });
}

/** How strongly each part shows its wires against the others: other exposures give other contrast. */
function gainsOf(read: readonly (readonly CourseReading[])[]): number[] {
  const contrasts = read.map((own) => {
    const seen = own.flatMap(({ dense }) => dense.filter((v) => Number.isFinite(v)));
    return seen.length ? median(seen) : 0;
  });
  const usual = median(contrasts);
  return contrasts.map((own) => (own > 0 && usual > 0 ? Math.min(3, Math.max(1 / 3, own / usual)) : 1));
}

/**
 * What one part shows along courses beside its wires: the densest lines found by the same search, with those that were
 * found before taken out. Edges, neighbours and chance make the same of a wire that is not there.
 *
 * @param uneven by course, attenuation by which the sides of a row may differ
 * @returns contrast by course and stretch
 */
export function readEmpty(
  part: WirePart,
  courses: readonly WireCourse[],
  readings: readonly CourseReading[],
  uneven: readonly number[],
  scene: WireScene,
  flankPx: number,
): (readonly number[])[] {
  const taken = readings.map(({ linePx }) => linePx);
  const play = usualPlay(scene);
  return courses.map((course, k) => {
    const known = { taken, mostUneven: uneven[k] as number };
    return readCourse(part, course, scene, flankPx, play, known).dense;
  });
}

/** How far beside a lead's middle a wire may start, px. */
const tipPlayPx = 6;
/** The same where wires lie close, as a share of their distance. */
const closePlay = 0.5;

/** How far from a common course the parts' own wires are looked for. */
export function usualPlay(scene: WireScene): Play {
  const startPx = Math.min(tipPlayPx, closePlay * (scene.closePx ?? Number.POSITIVE_INFINITY));
  return { startPx, endPx: startPx + driftPx(scene), shiftPx: [0, 0] };
}

/** How far beside its like a wire ends that is held to run elsewhere; close wires sway as far as they lie apart. */
function farPx(scene: WireScene): number {
  return scene.closePx === undefined ? usualPlay(scene).endPx : Number.POSITIVE_INFINITY;
}

/** What one part shows along a course, wherever near it that was found. */
export interface ReadWire {
  readonly reading: CourseReading;
  /** Found only beyond where its like run. */
  readonly far: boolean;
  /** A whole line is there, but another wire runs on it. */
  readonly disputed: boolean;
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
  const clear = (reading: CourseReading, line: CommonLine) =>
    shareOfWire(reading, line.norm).share > clearlySeen && gapIn(reading, line.norm, 1) === null;
  const shares = readings.map((reading, k) => shareOfWire(reading, (lines[k] as CommonLine).norm).share);
  // One line is one wire: that of the course which shows it better.
  const sure = readings.map(
    (reading, k) =>
      clear(reading, lines[k] as CommonLine) &&
      !readings.some(
        (other, m) =>
          (shares[m] as number) > (shares[k] as number) && runTogether(reading.linePx, other.linePx),
      ),
  );
  const usual = usualPlay(scene);
  const known = commonShift(readings.filter((_, k) => sure[k]));
  const shiftPx = known ?? usual.shiftPx;
  const shifted = { ...usual, shiftPx };
  const wide = { startPx: 1.7 * usual.startPx, endPx: usual.endPx + usual.startPx, shiftPx };
  const readBeside = (k: number, play: Play, taken: readonly CourseReading[]) => {
    const { course, norm } = lines[k] as CommonLine;
    const beside = { taken: taken.map(({ linePx }) => linePx), mostUneven: norm.mostUneven };
    return readCourse(part, course, scene, flankPx, play, beside);
  };
  const searched = (k: number, others: readonly CourseReading[]): ReadWire => {
    const line = lines[k] as CommonLine;
    let best: ReadWire = { reading: readBeside(k, usual, others), far: false, disputed: false };
    for (const play of [shifted, wide]) {
      if (clear(best.reading, line)) break;
      const reading = readBeside(k, play, others);
      // Beside its like only where the part's other wires say where those are.
      const far = known !== null && play === wide && Math.abs(reading.asidePx[1]) > farPx(scene);
      const found = { reading, far, disputed: false };
      if (shareOf(found, line) > shareOf(best, line) + 0.1) best = found;
    }
    return best;
  };
  /** The wires found once this one is looked for beside them; null where that leaves one of them without a line. */
  const settled = (k: number, own: Settled, displaced: ReadonlySet<number>): Settled | null => {
    const line = lines[k] as CommonLine;
    const found = searched(
      k,
      [...own.values()].map(({ reading }) => reading),
    );
    if (clear(found.reading, line)) return new Map(own).set(k, found);
    const first = readings[k] as CourseReading;
    if (!clear(first, line) || displaced.size >= mostDisplaced) return null;
    // Another wire was taken for its line: that one may have a line of its own.
    let without = new Map(own).set(k, { reading: first, far: false, disputed: false });
    const rivals = [...own.keys()].filter((m) =>
      runTogether(first.linePx, (own.get(m) as ReadWire).reading.linePx),
    );
    if (rivals.some((m) => displaced.has(m))) return null;
    for (const m of rivals) without.delete(m);
    for (const m of rivals) {
      const next = settled(m, without, new Set([...displaced, k]));
      if (next === null) return null;
      without = new Map(next);
    }
    return without;
  };
  let own: Settled = new Map(
    readings.flatMap((reading, k) => (sure[k] ? [[k, { reading, far: false, disputed: false }]] : [])),
  );
  for (const k of lines.keys()) if (!sure[k]) own = settled(k, own, new Set()) ?? own;
  return lines.map((line, k) => {
    const found = own.get(k);
    if (found) return found;
    const wire = searched(
      k,
      [...own.values()].map(({ reading }) => reading),
    );
    return { ...wire, disputed: clear(readings[k] as CourseReading, line) };
  });
}

/** The wires of a part that have a line, by course. */
type Settled = ReadonlyMap<number, ReadWire>;

/** Wires that are moved to other lines for the sake of one. */
const mostDisplaced = 4;

/** Whether two lines run on each other over a quarter of the first. */
function runTogether(line: readonly PointPx[], other: readonly PointPx[]): boolean {
  let on = 0;
  for (const [x, y] of line) if (other.some(([u, v]) => Math.abs(x - u) < 1.5 && Math.abs(y - v) < 1.5)) on++;
  return on > line.length / 4;
}

const clearlySeen = 0.6;

export function shareOf({ reading }: ReadWire, { norm }: CommonLine): number {
  return shareOfWire(reading, norm).share;
}
