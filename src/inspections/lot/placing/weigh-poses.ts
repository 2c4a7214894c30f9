import { composeMaps, invertMap } from "../../../align/similarity.ts";
import { median, quantile, robustSpread } from "../../../numeric/order.ts";
import type { LotWork } from "../part-tasks.ts";
import type { FallenIn } from "./fall-in.ts";
import type { PosedLook } from "./posed-look.ts";

/** The pose in which a part lies, and the others that are not told from it, as indices of its looks. */
export interface WeighedPose {
  readonly chosen: number;
  readonly equal: readonly number[];
}

/** Fewer parts do not show how far parts of one pose stray from each other. */
export const fewestWeighed = 5;
/** A pose a thousand times as likely as another is told from it: the logarithm of the ratio. */
const clearLogRatio = Math.log(1000);
/**
 * Where the middling part favours its pose by fewer standard deviations than this, the preference is chance. Of parts
 * without any asymmetry each still takes the better of its poses: with one thing straying that favours it by 1.1
 * (robust) standard deviations; with many, the poses fall in with each other. Chosen on simulated lots: chance gave up
 * to 3.6 where both starts end alike and up to 4.9 where they do not; a quarter turn of a BGA, QFN or LQFP gave 3.8
 * and more, a lead on the pad of an SO-8 25 and more.
 */
const leastAsymmetry = 3.7;
/** The same for half turns and mirror images where the starts end otherwise in more than this share of the parts. */
const unsteadyAsymmetry = 6;
const mostUnsteady = 0.05;

/** A part that favours its pose by less than this share of what the middling part does is like neither pose. */
const leastOfMiddle = 0.25;

/**
 * Settles how each part lies against the average of all others, which shows their common asymmetry with far less
 * noise than any pair does. Places that stray from part to part (a die's edge, wires) count less than places that do
 * not. Each part takes its likeliest pose, again and again until none changes. By how much a pose is favoured over
 * another, and how much that varies over the lot, says how likely the other one is.
 *
 * @param parts the looks of each part, the present pose first
 * @param leastSpread standard deviation below which no place is taken to be known
 * @param work who lets the poses fall in from each start
 */
export async function weighPoses(
  parts: readonly (readonly PosedLook[])[],
  leastSpread: number,
  work: LotWork,
): Promise<WeighedPose[]> {
  const looks = parts.map((part) => part.map((look) => look.values));
  const starts = [parts.map(() => 0), parts.map(bestFitting)];
  const ends = await work.each("settle", { looks, leastSpread }, starts);
  const { chosen, strays } = ends.reduce((best, other) => (other.disorder < best.disorder ? other : best));
  const steady = unsteadyShare(parts, ends) <= mostUnsteady;
  const favours = favoursByKind(parts, strays, chosen);
  return parts.map((part, i) => {
    const from = chosen[i] as number;
    const likely = part.flatMap((look, k) => {
      if (k === from) return [k];
      const kind = kindOf(part[from] as PosedLook, look);
      const leads = favours.get(kind) as readonly number[];
      if (leads.length < Math.max(fewestFavours, 0.3 * parts.length)) return look.near ? [k] : [];
      const least = steady || isQuarter(kind) ? leastAsymmetry : unsteadyAsymmetry;
      return isClear(lead(strays[i] as number[], k, from), leads, least) ? [] : [k];
    });
    const strangeness = (k: number) => (part[k] as PosedLook).strangeness;
    // Poses that fit as well: a part lies as its neighbours do until it shows otherwise.
    const taken = likely.reduce((b, k) => (strangeness(k) < strangeness(b) - 0.1 ? k : b), from);
    return { chosen: taken, equal: likely.filter((k) => k !== taken) };
  });
}

function bestFitting(part: readonly PosedLook[]): number {
  return part.reduce((best, look, k) => (look.misfit < (part[best] as PosedLook).misfit ? k : best), 0);
}

const lead = (strays: readonly number[], other: number, own: number) =>
  (strays[other] as number) - (strays[own] as number);

/** With fewer parts the spread of a preference is not known. */
const fewestFavours = 4;

/**
 * Whether a pose leads another clearly. With leads that are normal about +m or -m (the part lies otherwise), spread s,
 * the logarithm of the ratio of likelihoods is 2 m lead / s^2.
 */
function isClear(by: number, kind: readonly number[], least: number): boolean {
  const middle = median(kind);
  // Two estimates of it: the middle distance, and that a normal distribution's lowest tenth begins 1.28 below its middle.
  const around = robustSpread(kind, middle);
  const below = (middle - quantile(kind, 0.1)) / 1.2816;
  const spread = Math.max(1e-9, (around + below) / 2);
  return (
    middle >= least * spread && by > leastOfMiddle * middle && (2 * middle * by) / spread ** 2 > clearLogRatio
  );
}

/** By how much the chosen poses lead the others, by how the other lies to the chosen one. */
function favoursByKind(
  parts: readonly (readonly PosedLook[])[],
  strays: readonly (readonly number[])[],
  chosen: readonly number[],
): Map<string, number[]> {
  const favours = new Map<string, number[]>();
  parts.forEach((part, i) => {
    const own = chosen[i] as number;
    part.forEach((look, k) => {
      if (k === own) return;
      const kind = kindOf(part[own] as PosedLook, look);
      favours.set(kind, [...(favours.get(kind) ?? []), lead(strays[i] as number[], k, own)]);
    });
  });
  return favours;
}

/** How one pose lies to another in the frame: mirrored or not, turned by how much, in steps of 15 degrees. */
function kindOf(own: PosedLook, other: PosedLook): string {
  const between = composeMaps(invertMap(own.map), other.map);
  const mirrored = between.a * between.e - between.b * between.d < 0;
  const turn = Math.round((12 * Math.atan2(between.d, between.a)) / Math.PI);
  return `${mirrored ? "mirrored" : "turned"} ${(turn + 24) % 24}`;
}

/** Quarter turns, mirrored or not: a die or pad that is not square shows them, whatever else strays. */
function isQuarter(kind: string): boolean {
  return kind.endsWith(" 6") || kind.endsWith(" 18");
}

/** Share of the parts that do not lie to each other as most do in two ends. */
function unsteadyShare(parts: readonly (readonly PosedLook[])[], ends: readonly FallenIn[]): number {
  const [first, second] = ends as readonly [FallenIn, FallenIn];
  const counts = new Map<string, number>();
  parts.forEach((part, i) => {
    const kind = kindOf(
      part[first.chosen[i] as number] as PosedLook,
      part[second.chosen[i] as number] as PosedLook,
    );
    counts.set(kind, (counts.get(kind) ?? 0) + 1);
  });
  return 1 - Math.max(...counts.values()) / parts.length;
}
