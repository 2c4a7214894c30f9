import type { LotDocumentPart } from "../../src/contract/lot-document.ts";
import type { Point, TrueWire } from "./truth.ts";
import { distance } from "./truth.ts";

/** What was said of the bond wires, against the truth. */
export interface WireScore {
  /** Wires of the truth in parts that were compared. */
  readonly compared: number;
  /** Said to be there or not, and rightly. */
  readonly right: number;
  readonly wrong: readonly string[];
  /** Found, but left open: unclear or not assessable. */
  readonly open: number;
  /** Not told at all: no wire of the lot was found at that lead. */
  readonly untold: number;
}

type Said = LotDocumentPart["wires"][number];

/** A wire that is broken or elsewhere must be told so; one that is there or not, rightly so. */
export const saidAs: Readonly<Record<TrueWire["status"], Said["state"]>> = {
  present: "seen",
  absent: "absent",
  broken: "broken",
  elsewhere: "elsewhere",
};

/** Compares the wires of one part. Each true wire belongs to the told one whose lead end is nearest to its own. */
export function scoreWires(id: string, truth: readonly TrueWire[], found: LotDocumentPart): WireScore {
  let right = 0;
  let open = 0;
  let untold = 0;
  const wrong: string[] = [];
  for (const wire of truth) {
    const told = toldAt(found, wire.end_px);
    if (told === null) untold++;
    else if (told.state === "unclear" || told.state === "not-assessable") open++;
    else if (told.state === saidAs[wire.status]) right++;
    else wrong.push(`${id} pin ${wire.pin} ${wire.status}: ${told.state} (lead ${told.lead})`);
  }
  return { compared: truth.length, right, wrong, open, untold };
}

export function sumWires(scores: readonly WireScore[]): WireScore {
  const sum = (of: (score: WireScore) => number) => scores.reduce((total, score) => total + of(score), 0);
  return {
    compared: sum((s) => s.compared),
    right: sum((s) => s.right),
    wrong: scores.flatMap((s) => s.wrong),
    open: sum((s) => s.open),
    untold: sum((s) => s.untold),
  };
}

export function wireText({ compared, right, wrong, open, untold }: WireScore): string {
  return `wires ${right}/${compared} right ${wrong.length} wrong ${open} open ${untold} untold`;
}

/**
 * The told wire at whose lead a true one ends, or null where none is nearer than half the way to its next told lead.
 * A wire is stitched somewhere along its lead's inner end: what it lies off along the told wire's way counts a third of what it lies off aside.
 */
export function toldAt(found: Pick<LotDocumentPart, "wires">, end: Point): Said | null {
  if (!found.wires.length) return null;
  const apart = ({ fromPx, toPx }: Said) => {
    const length = Math.max(1e-9, distance(fromPx, toPx));
    const [ux, uy] = [(toPx[0] - fromPx[0]) / length, (toPx[1] - fromPx[1]) / length];
    const [dx, dy] = [end[0] - fromPx[0], end[1] - fromPx[1]];
    return Math.hypot(dx * uy - dy * ux, (dx * ux + dy * uy) / 3);
  };
  const told = found.wires.reduce((best, w) => (apart(w) < apart(best) ? w : best));
  const others = found.wires.filter((w) => w !== told);
  const near = 0.5 * Math.min(...others.map((w) => distance(w.fromPx, told.fromPx)));
  return apart(told) > near ? null : told;
}
