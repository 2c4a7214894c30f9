import { labelComponents } from "../../numeric/components.ts";
import type { Image, PointPx } from "../../numeric/image.ts";
import { createMask } from "../../numeric/image.ts";
import { distanceTransform, fillHoles } from "../../numeric/morphology.ts";
import { median, quantile } from "../../numeric/order.ts";
import type { LeadMetal } from "./lead-metal.ts";
import { endDepthPx, metalOverMould } from "./lead-metal.ts";
import type { RimRun } from "./rim-runs.ts";
import { metalOutside, rimRuns } from "./rim-runs.ts";
import type { WireScene } from "./wire-parts.ts";

/** A lead that is one piece with the pad. */
export interface FusedLead {
  /** Where it runs into the pad. */
  readonly tipPx: PointPx;
  /** Where it leaves the body. */
  readonly metalPx: PointPx;
  /** Middle between these: its place in the order around the body. */
  readonly aboutPx: PointPx;
  /** Null where denser matter (a clip) lies over it: what is one piece is not seen. */
  readonly fusedToPad: true | null;
}

/** Bars and leads are narrower than this share of the pad's width: what is left of it is the pad itself. */
const coreShare = 0.45;
/** Widths of leads of one side differ by no more than this factor. */
const likeWidth = 1.7;
/** A lead without a foot of its own stands in the row of its side, at most this many pitches beyond the last one. */
const rowReach = 1.5;
/** Steps of one row differ by no more than this factor. */
const evenStep = 1.25;
/** What lies this near to the pad itself is not told from it: rounded corners. */
const besideCorePx = 3;
/** A lead of which more than this share lies under denser matter is not seen to be one piece. */
const mostCovered = 0.1;
/** By this factor over the mould, against where it leaves the body. */
const denserThanLead = 1.4;

/**
 * Leads whose metal runs on into the die pad. Where the pad's piece of metal reaches the body's edge it is a lead when
 * it goes on outside as leads do, else it is a tie bar; where no lead goes on outside (flush packages) it is a lead
 * when it stands in a row of others and is as wide.
 */
export function fusedLeads(
  image: Image,
  scene: WireScene,
  metal: LeadMetal,
): { readonly leads: readonly FusedLead[]; readonly bars: readonly RimRun[] } {
  const runs = rimRuns(metal, scene);
  const ofPad = runs.filter((run) => run.ofPad);
  if (!ofPad.length) return { leads: [], bars: [] };
  const free = runs.filter((run) => !run.ofPad);
  const outside = metalOutside(image, scene, free);
  const found = ofPad.map((run) => ({
    run,
    leads: outside ? outside.continuing(run) : inRow(run, free, ofPad) ? [run] : [],
  }));
  const bars = found.filter(({ leads }) => !leads.length).map(({ run }) => run);
  if (bars.length === found.length) return { leads: [], bars };
  const arms = padArms(image, scene, metal);
  const leads = found.flatMap(({ run, leads: own }) =>
    own.map(({ middlePx }): FusedLead => {
      const { tipPx, covered } = arms(run);
      return {
        tipPx,
        metalPx: middlePx,
        aboutPx: middleOf([tipPx, middlePx]),
        fusedToPad: covered ? null : true,
      };
    }),
  );
  return { leads, bars };
}

/** Whether a place of the rim stands in the row of the leads of its side, and is as wide as they are. */
function inRow(run: RimRun, free: readonly RimRun[], ofPad: readonly RimRun[]): boolean {
  const row = free.filter((other) => other.side === run.side);
  // A side all of whose leads are one with the pad shows a row of them; of tie bars there are no more than two.
  if (row.length < 2) return isRow([...row, ...ofPad.filter((other) => other.side === run.side)]);
  const wide = median(row.map((other) => other.widthPx));
  if (run.widthPx > likeWidth * wide || run.widthPx < wide / likeWidth) return false;
  const nearest = Math.min(...row.map((other) => Math.abs(other.at - run.at)));
  // A lead that is missing from the row leaves a step of two pitches: the other sides count too.
  const bySide = [0, 1, 2, 3].map((side) => free.filter((other) => other.side === side));
  const pitch = quantile(bySide.flatMap(steps), 0.25);
  return nearest > 0.6 * pitch && nearest < rowReach * pitch;
}

/** Three or more places of one width, evenly apart. */
function isRow(runs: readonly RimRun[]): boolean {
  if (runs.length < 3) return false;
  const widths = runs.map((run) => run.widthPx);
  const apart = steps(runs);
  return (
    Math.max(...widths) < likeWidth * Math.min(...widths) &&
    Math.max(...apart) < evenStep * Math.min(...apart)
  );
}

function steps(row: readonly RimRun[]): number[] {
  const at = row.map((run) => run.at).sort((p, q) => p - q);
  return at.slice(1).map((v, i) => v - (at[i] as number));
}

interface ArmEnd {
  readonly tipPx: PointPx;
  readonly covered: boolean;
}

/** Where the arms of the pad's piece run into it: for a place on the rim the end of its own arm. */
function padArms(image: Image, scene: WireScene, { width, height, labels, ofPad }: LeadMetal) {
  const piece = createMask(width, height);
  for (let i = 0; i < labels.length; i++) if (ofPad.has(labels[i] as number)) piece.data[i] = 1;
  const depth = distanceTransform(fillHoles(piece)).data;
  let deepest = 0;
  for (const d of depth) if (Number.isFinite(d)) deepest = Math.max(deepest, d);
  const radius = coreShare * deepest;
  const away = createMask(width, height);
  for (let i = 0; i < depth.length; i++) away.data[i] = (depth[i] as number) < radius ? 1 : 0;
  const toCore = distanceTransform(away).data;
  const beside = createMask(width, height);
  for (let i = 0; i < labels.length; i++) {
    if (piece.data[i] && (toCore[i] as number) > radius + besideCorePx) beside.data[i] = 1;
  }
  const arms = labelComponents(beside, 4).labels;
  const mould = scene.metalLevel - 0.5 * metalOverMould(image, scene);
  const spread = endDepthPx(scene);
  return ({ middlePx }: RimRun): ArmEnd => {
    const [x, y] = middlePx;
    const at = Math.round(y) * width + Math.round(x);
    const arm = arms[at] as number;
    const dense = mould + denserThanLead * ((image.data[at] as number) - mould);
    let least = Number.POSITIVE_INFINITY;
    let [area, covered] = [0, 0];
    const ends: { at: PointPx; far: number }[] = [];
    for (let i = 0; arm && i < arms.length; i++) {
      if (arms[i] !== arm) continue;
      area++;
      if ((image.data[i] as number) > dense) covered++;
      if ((toCore[i] as number) > radius + besideCorePx + 3) continue;
      const end: PointPx = [i % width, Math.floor(i / width)];
      const far = Math.hypot(end[0] - x, end[1] - y);
      least = Math.min(least, far);
      ends.push({ at: end, far });
    }
    const near = ends.filter((end) => end.far <= least + spread).map((end) => end.at);
    const tipPx = near.length ? middleOf(near) : middlePx;
    // A short stub is not yet covered where it leaves the body, but is where it ends.
    for (let i = 0; i < arms.length; i++) {
      if (!piece.data[i] || arms[i] === arm) continue;
      if (Math.hypot((i % width) - tipPx[0], Math.floor(i / width) - tipPx[1]) > 3 * spread) continue;
      area++;
      if ((image.data[i] as number) > dense) covered++;
    }
    return { tipPx, covered: covered > mostCovered * area };
  };
}

function middleOf(points: readonly PointPx[]): PointPx {
  return [mean(points.map((p) => p[0])), mean(points.map((p) => p[1]))];
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}
