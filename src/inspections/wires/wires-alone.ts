import { median, quantile, robustSpread } from "../../numeric/order.ts";
import { readAll } from "./common-line.ts";
import { isHollow } from "./hollow-course.ts";
import type { PartWire } from "./judge-part.ts";
import { likelyCourses, wireFlank } from "./likely-courses.ts";
import type { CourseReading } from "./read-course.ts";
import { stretches } from "./read-course.ts";
import { courseEnd } from "./search-courses.ts";
import type { LeadTip, WirePart, WireScene } from "./wire-parts.ts";
import { leastContrastToNoise, leastShare } from "./wire-state.ts";

/**
 * The wires of parts that are too few to say what they have in common, or whose dies were not measured: each is told
 * from the part itself. Only what is there is told: a line that stands out over its whole length, about as strong as
 * the part's others, is seen. Everything else is left open.
 *
 * @param parts in one frame, of one construction
 * @param leads inner lead ends that their average shows
 * @param openNoise attenuation noise of one pixel in open field
 * @returns by part, one entry for each lead at which a wire may run
 */
export function wiresAlone(
  parts: readonly WirePart[],
  leads: readonly LeadTip[],
  scene: WireScene,
  openNoise: number,
): PartWire[][] {
  const tips = leads.filter((lead) => lead.fusedToPad === false);
  const flankPx = wireFlank(parts, scene, tips);
  const courses = likelyCourses(tips, parts, scene, flankPx, openNoise).map(({ course }) => course);
  const lines = readAll(courses, parts, scene, flankPx);
  return parts.map((part, p) => {
    const beside = lines.flatMap(({ empty }) => (empty[p] as readonly number[]).filter(Number.isFinite));
    // Edges make much of what is found beside the wires; over mould chance makes the rest.
    const chance = beside.length ? quantile(beside.map(Math.abs), 0.25) : 0;
    const own = lines.map(({ readings, empty }) => {
      const { dense } = readings[p] as CourseReading;
      return alongCourse(part.die ? dense : asFarAsShown(dense), chance, empty[p] as readonly number[]);
    });
    const usual = own.length ? median(own.map(({ contrast }) => contrast)) : 0;
    const off = own.flatMap(({ contrast, told }) => told.map((v) => Math.abs(v - chance - contrast)));
    const noise = Math.max(robustSpread(off, 0), leastVariation * usual, 1e-9);
    return lines.map(({ course, readings }, k): PartWire => {
      const { contrast, told, whole } = own[k] as WireAlone;
      const contrastToNoise = (Math.max(0, contrast) * Math.sqrt(told.length)) / noise;
      const share = usual > 0 ? contrast / usual : 0;
      const [x, y] = courseEnd(course, part.die ?? scene.die);
      const { asidePx, leftAtEnd } = readings[p] as CourseReading;
      const seen = whole && share > leastShare;
      return {
        lead: course.lead,
        state: contrastToNoise < leastContrastToNoise ? "not-assessable" : seen ? "seen" : "unclear",
        share,
        contrastToNoise,
        fromPx: course.tipPx,
        toPx: [x + asidePx[1] * leftAtEnd[0], y + asidePx[1] * leftAtEnd[1]],
      };
    });
  });
}

/** One part's reading of one course by itself. */
interface WireAlone {
  /** Middle contrast over what chance makes. */
  readonly contrast: number;
  /** Contrast of the stretches that tell of it. */
  readonly told: readonly number[];
  /** It is seen over its whole length. */
  readonly whole: boolean;
}

/** Fewer stretches do not tell of a wire. */
const leastTold = stretches / 2;
/** Contrast varies along wires by this share of it at the least. */
const leastVariation = 0.1;

function alongCourse(dense: readonly number[], chance: number, empty: readonly number[]): WireAlone {
  const told = dense.filter(Number.isFinite);
  if (told.length < leastTold) return { contrast: 0, told: [], whole: false };
  const over = dense.map((v) => v - chance);
  return { contrast: median(told) - chance, told, whole: !isHollow(over, empty) };
}

/** Where the die is not known a wire may end before the course does: what follows its last stretch does not count. */
function asFarAsShown(dense: readonly number[]): number[] {
  const shown = dense.filter((v) => v > 0);
  if (!shown.length) return [];
  const least = 0.25 * median(shown);
  const end = dense.findLastIndex((v) => v > least) + 1;
  return dense.map((v, k) => (k < end ? v : Number.NaN));
}
