import { writeFileSync } from "node:fs";
import path from "node:path";
import { buildPyramid } from "../src/align/pyramid.ts";
import type { AffineMap } from "../src/align/similarity.ts";
import { applyMap, invertMap } from "../src/align/similarity.ts";
import { findParts, partCandidates } from "../src/inspections/lot/finding/find-parts.ts";
import type { Patch } from "../src/inspections/lot/finding/patch.ts";
import { cutPatch } from "../src/inspections/lot/finding/patch.ts";
import type { AlignedPart, LotFrame } from "../src/inspections/lot/placing/align-lot.ts";
import { intoFrame, lotFrame, referenceMap } from "../src/inspections/lot/placing/align-lot.ts";
import { alignPatch, frameReference } from "../src/inspections/lot/placing/search-pose.ts";
import type { PointPx } from "../src/numeric/image.ts";
import { rectangleCorners } from "../src/numeric/oriented-rectangle.ts";
import type { FamilyName } from "../src/simulate/packages/families.ts";
import { constructionOf } from "../src/simulate/packages/families.ts";
import { simulateLot } from "../src/simulate/simulate-lot.ts";
import { lotLike } from "../src/simulate/usual-lot.ts";
import type { Agreement, BenchCase, BenchInput } from "./bench-case.ts";
import { simulatedRadiograph } from "./simulated-radiograph.ts";

const SEED = 7;
const mostApartPx = 0.5;
const mostApartDeg = 0.2;

/** Two parts of one construction lying anyhow, the second mirrored; their lead frames' pads are known. */
interface Pair {
  readonly reference: Patch;
  readonly moving: Patch;
  readonly frame: LotFrame;
  readonly padsPx: readonly [reference: readonly PointPx[], moving: readonly PointPx[]];
}

function pairOf(family: FamilyName): Pair {
  const spec = lotLike(
    `pair of ${family}`,
    "Invented: two parts to be brought onto each other",
    {
      constructions: [{ construction: constructionOf("one", family, "A"), count: 2 }],
      faults: [{ fault: { kind: "mirrored" }, count: 1 }],
      layout: { kind: "single", widthPx: 600, heightPx: 600 },
    },
    { turnsDeg: "any", tiltSpreadDeg: 0, bodyShiftMm: 0, bodyTurnDeg: 0 },
  );
  const { pictures, truth } = simulateLot(spec, SEED);
  const patches = pictures.map((picture) => {
    const radiograph = simulatedRadiograph(picture);
    const { parts } = findParts(partCandidates(radiograph), null);
    if (parts.length !== 1) throw new Error(`bench: ${parts.length} parts found in ${picture.name}, not one`);
    return cutPatch(radiograph, parts[0]);
  });
  const pads = truth.images.map((image) => (image.parts[0].paddle_corners_px ?? []) as readonly PointPx[]);
  return {
    reference: patches[0],
    moving: patches[1],
    frame: lotFrame(patches[0]),
    padsPx: [pads[0], pads[1]],
  };
}

/** Writes the same for the reference, and returns the function to be timed. */
function prepare(job: string, pair: Pair, offTurnRad: number, { folder }: BenchInput) {
  const { frame, reference } = pair;
  const body = { ...pair.moving.body, angleRad: pair.moving.body.angleRad + offTurnRad };
  const moving: Patch = { ...pair.moving, body };
  const template = intoFrame(frame, reference, referenceMap(frame, reference));
  const { width, height, data } = moving.image;
  const part = { width, height, body, fitted: moving.part.fit !== null };
  writeFileSync(path.join(folder, `${job}.json`), JSON.stringify({ frame, part }));
  writeFileSync(path.join(folder, `${job}-template.f32`), template.data);
  writeFileSync(path.join(folder, `${job}-part.f32`), data);
  const ready = frameReference(frame, template);
  return () => alignPatch(ready, { ...moving, pyramid: buildPyramid(moving.image) });
}

const turnDegOf = (map: AffineMap) => (Math.atan2(map.d, map.a) * 180) / Math.PI;
const apartPx = (p: PointPx, q: PointPx) => Math.hypot(p[0] - q[0], p[1] - q[1]);

/** Largest distance at the pad's corners from where the simulation put them, px. */
function offTruthPx({ frame, reference, moving, padsPx }: Pair, map: AffineMap): number {
  const toFrame = invertMap(referenceMap(frame, reference));
  const toPatch = invertMap(reference.toPicture);
  return Math.max(
    ...padsPx[0].map((corner, k) => {
      const inFrame = applyMap(toFrame, applyMap(toPatch, corner));
      return apartPx(applyMap(moving.toPicture, applyMap(map, inFrame)), padsPx[1][k]);
    }),
  );
}

/**
 * Nearly symmetric parts fit about as well in several poses, and ours keeps these for the lot to decide. So: is the
 * reference's pose among those that ours followed to full size, and where does ours rank it by its fit?
 */
function agree(pair: Pair, aligned: AlignedPart, theirs: { map: readonly number[] } | null): Agreement {
  if (theirs === null) return { agrees: false, says: "the reference found no pose" };
  const [a, b, c, d, e, f] = theirs.map as [number, number, number, number, number, number];
  const map = { a, b, c, d, e, f };
  const corners = rectangleCorners(pair.frame.body);
  const apart = (one: AlignedPart) =>
    Math.max(...corners.map((p) => apartPx(applyMap(one.map, p), applyMap(map, p))));
  const followed = [aligned, ...aligned.alternatives].sort((p, q) => q.correlation - p.correlation);
  const same = followed.reduce((best, one) => (apart(one) < apart(best) ? one : best));
  const turn = Math.abs(((turnDegOf(same.map) - turnDegOf(map) + 540) % 360) - 180);
  const [first, shared, reference] = [followed[0].map, same.map, map].map((one) =>
    offTruthPx(pair, one).toFixed(2),
  );
  return {
    agrees: apart(same) <= mostApartPx && turn <= mostApartDeg,
    says: `poses ${apart(same).toFixed(3)} px apart at the body's corners, ${turn.toFixed(3)} deg (fit ${followed.indexOf(same) + 1} of the ${followed.length} that ours followed); pad's corners from the simulated truth ours ${shared} px, reference ${reference} px${same === followed[0] ? "" : `, ours' best fit ${first} px`}`,
  };
}

function register(poses: number, family: FamilyName, offTurnRad: number): BenchCase {
  let pair: Pair | undefined;
  return {
    name: `register, ${poses} poses`,
    sizes: ["1700x1272"],
    setup: (input) => {
      pair = pairOf(family);
      return prepare(`register-${poses}`, pair, offTurnRad, input);
    },
    agree: (ours, theirs) => agree(pair as Pair, ours as AlignedPart, theirs as { map: number[] } | null),
    note: `${family} about 370 px long, turned at random and mirrored, its body found before${offTurnRad ? ", then turned 45 deg off so that none of its own poses fits and turns are tried 10 deg apart" : ""}. The reference does the same: findTransformECC from every start pose at the smallest size, four followed to full size. It fits six parameters over all pixels (OpenCV has no similarity here), ours four over the steepest 15 to 30 % of them, prepared once per lot and not timed, as the reference's pyramid of the same part is not.`,
  };
}

/** Registration of one part to another over turns and both mirror images, from their bodies. */
export const registration: BenchCase[] = [
  register(4, "SO-8", 0),
  register(8, "QFN-32", 0),
  register(72, "SO-8", Math.PI / 4),
];
