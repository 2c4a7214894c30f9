import type { PointPx } from "../../numeric/image.ts";
import { median, quantile } from "../../numeric/order.ts";
import type { FingerWire } from "./finger-wires.ts";

/** Share of the parts asked that must show a wire, two at least; whether most have it is asked of all later. */
const leastShowing = 0.25;
/** What fewer than this share show is a wire only where there is room for one: this share of the usual distance. */
const usualShowing = 0.4;
const leastOfPitch = 0.75;
/** Wires are told from their neighbours where they have gone this share of the usual length. */
const toldAtShare = 0.7;
/** Farthest end that counts, of those of one wire: what lies over a wire ends it early in some parts. */
const endQuantile = 0.6;
/** What two parts show within this distance is one wire, px; no more than a part's own wires lie apart. */
const mostApartPx = 5;
/** The same, in such distances, in parts in which no other mark is nearer. */
const swaying = 1.6;

/**
 * The wires that parts of one construction share.
 *
 * @param byPart wires as each part shows them, in one frame
 */
export function commonFingers(byPart: readonly (readonly FingerWire[])[]): FingerWire[] {
  const all = byPart.flatMap((wires, part) => wires.map((wire) => ({ wire, part })));
  if (!all.length) return [];
  const usualPx = median(all.map(({ wire }) => lengthOf(wire)));
  const marks = all.map(
    ({ wire, part }): Mark => ({ wire, part, at: atDistance(wire, toldAtShare * usualPx) }),
  );
  const pitchPx = spacing(byPart, toldAtShare * usualPx);
  const apart = Math.min(mostApartPx, 0.45 * pitchPx);
  const near = marks.map(({ at }) =>
    [...marks.keys()].filter((m) => distance((marks[m] as Mark).at, at) <= apart),
  );
  const free = marks.map(() => true);
  const found: Found[] = [];
  const least = Math.max(2, leastShowing * byPart.length);
  for (;;) {
    let best: readonly Mark[] = [];
    for (const [k, { at }] of marks.entries()) {
      if (!free[k] || (near[k] as number[]).length <= best.length) continue;
      const own = (near[k] as number[]).flatMap((m) => (free[m] ? [marks[m] as Mark] : []));
      const parts = onePerPart(own, at);
      if (parts.length > best.length) best = parts;
    }
    if (best.length < least) break;
    const wire = middleWire(best.map((mark) => mark.wire));
    const clearPx = best.length < usualShowing * byPart.length ? leastOfPitch * pitchPx : 0;
    found.push({
      wire,
      weight: best.length * lengthOf(wire),
      at: middle(best.map(({ at }) => at)),
      clearPx,
    });
    const centre = middle(best.map(({ at }) => at));
    const parts = new Set(best.map(({ part }) => part));
    for (const [k, { at, part }] of marks.entries()) {
      // A wire that sways further in another part is still that wire.
      const own = parts.has(part) ? apart : swaying * apart;
      if (distance(at, centre) <= own) free[k] = false;
    }
    for (const mark of best) free[marks.indexOf(mark)] = false;
  }
  return eachItsOwn(found, apart);
}

/** Two ways to one end are one wire, and wires do not cross: the one that more parts show over more of its length. */
function eachItsOwn(found: readonly Found[], apartPx: number): FingerWire[] {
  const kept: Found[] = [];
  for (const one of [...found].sort((p, q) => q.weight - p.weight)) {
    const own = kept.every(
      ({ wire, at }) =>
        distance(wire.fingerPx, one.wire.fingerPx) > apartPx &&
        distance(at, one.at) > one.clearPx &&
        !crossing(wire, one.wire),
    );
    if (own) kept.push(one);
  }
  return kept.map(({ wire }) => wire);
}

function crossing({ fromPx: a, fingerPx: b }: FingerWire, { fromPx: c, fingerPx: d }: FingerWire): boolean {
  const side = (p: PointPx, q: PointPx, r: PointPx) =>
    (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
  return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
}

/** A wire that several parts show. */
interface Found {
  readonly wire: FingerWire;
  /** Parts that show it, times its length. */
  readonly weight: number;
  /** Where it is told from its neighbours, and how far from there none may lie: few parts show it. */
  readonly at: PointPx;
  readonly clearPx: number;
}

/** A wire of one part where it is told from its neighbours. */
interface Mark {
  readonly wire: FingerWire;
  readonly part: number;
  readonly at: PointPx;
}

/** The nearest mark of each part. */
function onePerPart(marks: readonly Mark[], to: PointPx): Mark[] {
  const nearest = new Map<number, Mark>();
  for (const mark of marks) {
    const known = nearest.get(mark.part);
    if (!known || distance(mark.at, to) < distance(known.at, to)) nearest.set(mark.part, mark);
  }
  return [...nearest.values()];
}

function middleWire(wires: readonly FingerWire[]): FingerWire {
  const fromPx = middle(wires.map((wire) => wire.fromPx));
  const lengthPx = quantile(wires.map(lengthOf), endQuantile);
  const towards = middle(wires.map((wire) => atDistance(wire, lengthPx)));
  return {
    fromPx,
    fingerPx: atDistance({ fromPx, fingerPx: towards }, lengthPx),
    contrast: median(wires.map(({ contrast }) => contrast)),
  };
}

/** Middle distance of a part's wire to its next, some way out. */
function spacing(byPart: readonly (readonly FingerWire[])[], outPx: number): number {
  const nearest = byPart.flatMap((wires) => {
    const at = wires.map((wire) => atDistance(wire, outPx));
    return at.map((p, k) =>
      Math.min(...at.map((q, m) => (m === k ? Number.POSITIVE_INFINITY : distance(p, q)))),
    );
  });
  return median(nearest);
}

function lengthOf({ fromPx, fingerPx }: Pick<FingerWire, "fromPx" | "fingerPx">): number {
  return distance(fromPx, fingerPx);
}

function atDistance(wire: Pick<FingerWire, "fromPx" | "fingerPx">, outPx: number): PointPx {
  const share = outPx / Math.max(1e-6, lengthOf(wire));
  const { fromPx: p, fingerPx: q } = wire;
  return [p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1])];
}

function middle(points: readonly PointPx[]): PointPx {
  return [median(points.map(([x]) => x)), median(points.map(([, y]) => y))];
}

function distance(p: PointPx, q: PointPx): number {
  return Math.hypot(p[0] - q[0], p[1] - q[1]);
}
