import { writeFileSync } from "node:fs";
import path from "node:path";
import type { FoundParts } from "../src/inspections/lot/finding/find-parts.ts";
import { findParts, partCandidates } from "../src/inspections/lot/finding/find-parts.ts";
import type { PointPx } from "../src/numeric/image.ts";
import type { LotSpec } from "../src/simulate/lot-spec.ts";
import { constructionOf } from "../src/simulate/packages/families.ts";
import { simulateLot } from "../src/simulate/simulate-lot.ts";
import type { LotTruth } from "../src/simulate/truth.ts";
import { lotLike, trayOf } from "../src/simulate/usual-lot.ts";
import type { Agreement, BenchCase, BenchInput } from "./bench-case.ts";
import { simulatedRadiograph } from "./simulated-radiograph.ts";
import { truthParts } from "./truth-parts.ts";

const SEED = 3;
const mostApartPx = 0.5;
const mostApartDeg = 0.2;

/** A part as the reference finds it. */
interface ReferencePart {
  readonly centrePx: PointPx;
  readonly lengthPx: number;
  readonly widthPx: number;
  readonly angleRad: number;
}

function prepare(job: string, spec: LotSpec, { folder }: BenchInput) {
  const { pictures, truth } = simulateLot(spec, SEED);
  const radiograph = simulatedRadiograph(pictures[0]);
  const { widthPx: width, heightPx: height, attenuation, noise } = radiograph;
  const sigma = Math.sqrt(Math.max(0, noise.a + noise.b));
  writeFileSync(path.join(folder, `${job}.json`), JSON.stringify({ width, height, sigma }));
  writeFileSync(path.join(folder, `${job}.f32`), attenuation);
  return { truth, run: () => findParts(partCandidates(radiograph), null) };
}

const apartPx = (p: PointPx, q: PointPx) => Math.hypot(p[0] - q[0], p[1] - q[1]);

/** Each of `points` with the nearest of `others`. */
function nearest<T extends { centrePx: PointPx }>(at: PointPx, others: readonly T[]): T | undefined {
  return [...others].sort((p, q) => apartPx(p.centrePx, at) - apartPx(q.centrePx, at))[0];
}

function agree(truth: LotTruth, { parts }: FoundParts, theirs: readonly ReferencePart[]): Agreement {
  const bodies = parts.map((p) => p.body);
  const pairs = bodies.flatMap((body) => {
    const other = nearest(body.centrePx, theirs);
    return other ? [{ body, other }] : [];
  });
  const centre = Math.max(0, ...pairs.map(({ body, other }) => apartPx(body.centrePx, other.centrePx)));
  const turnOf = (a: number, b: number) => Math.abs(Math.asin(Math.sin(a - b))) * (180 / Math.PI);
  const turn = Math.max(0, ...pairs.map(({ body, other }) => turnOf(body.angleRad, other.angleRad)));
  const longer = pairs.map(({ body, other }) => body.lengthPx - other.lengthPx);
  const real = truthParts(JSON.stringify(truth));
  const off = [bodies, theirs].map((found) =>
    Math.max(
      ...real.map(({ centrePx }) => apartPx(nearest(centrePx, found)?.centrePx ?? [0, 0], centrePx)),
    ).toFixed(2),
  );
  return {
    agrees:
      parts.length === real.length &&
      theirs.length === real.length &&
      centre <= mostApartPx &&
      turn <= mostApartDeg,
    says: `parts ${parts.length} and ${theirs.length} of ${real.length}; centres up to ${centre.toFixed(2)} px, turns up to ${turn.toFixed(3)} deg apart, ours ${Math.min(...longer).toFixed(1)} to ${Math.max(...longer).toFixed(1)} px longer (the mould's draft); centres from the simulated truth ours up to ${off[0]} px, reference ${off[1]} px`,
  };
}

function find(name: string, job: string, spec: LotSpec, note: string): BenchCase {
  let truth: LotTruth | undefined;
  return {
    name,
    sizes: ["1700x1272"],
    setup: (input) => {
      const prepared = prepare(job, spec, input);
      truth = prepared.truth;
      return prepared.run;
    },
    agree: (ours, theirs) => agree(truth as LotTruth, ours as FoundParts, theirs as ReferencePart[]),
    note,
  };
}

const so8 = (count: number) => [{ construction: constructionOf("one", "SO-8", "A"), count }];

/** Part finding, from attenuation to the four edges of every body. */
export const finding: BenchCase[] = [
  find(
    "find parts, tray of 6",
    "find-tray",
    lotLike("tray", "Invented: a tray of six", { constructions: so8(6), layout: trayOf(2, 3) }),
    "The reference does less: leads are opened away and minAreaRect gives the direction; parts that touch by more than leads stay one; half-way edges along 60 profiles a side in two rounds, ours the foot of the slope along up to 240 in three, voted.",
  ),
  find(
    "find part, alone",
    "find-alone",
    lotLike("alone", "Invented: one part", { constructions: so8(1) }),
    "As for the tray.",
  ),
];
