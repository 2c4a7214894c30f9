import type { LotDocumentPart } from "../../src/contract/lot-document.ts";
import { sidesOf as sides } from "../../src/simulate/match-parts.ts";
import type { Measured } from "../../src/units/measured.ts";
import type { Match, Point, TruePart } from "./truth.ts";
import { distance } from "./truth.ts";

/** How far a length was off, in px of the picture. */
export interface LengthError {
  readonly id: string;
  readonly truePx: number;
  readonly errorPx: number;
  readonly expandedPx: number;
}

/** Lengths of the parts that were judged, against their truth. */
export interface LengthScore {
  readonly lengths: Readonly<Record<"dieLength" | "dieWidth" | "bodyLength" | "bodyWidth", LengthError[]>>;
  /** Parts that have a die. */
  readonly dies: number;
  /** Parts whose die has no length, with why. */
  readonly dieUnmeasured: readonly string[];
  /** Parts without a die whose die has a length. */
  readonly dieWhereNone: readonly string[];
}

/** Compares the lengths of the parts that were found and judged. */
export function scoreLengths(
  seen: readonly { readonly m: Match; readonly found: LotDocumentPart }[],
): LengthScore {
  const lengths: LengthScore["lengths"] = { dieLength: [], dieWidth: [], bodyLength: [], bodyWidth: [] };
  const dieWhereNone: string[] = [];
  const dieUnmeasured: string[] = [];
  let dies = 0;
  for (const { m, found } of seen) {
    const die = dieSides(m.truth, found);
    const { dieLength, dieWidth, bodyLength, bodyWidth } = found.measurements;
    const [first, second] = sides(m.truth.body_corners_px);
    const push = (name: keyof typeof lengths, measuredAs: Measured | undefined, truePx: number) => {
      const error = lengthError(m, measuredAs, truePx);
      if (error) lengths[name].push(error);
    };
    push("bodyLength", bodyLength, Math.max(first, second));
    push("bodyWidth", bodyWidth, Math.min(first, second));
    if (!die) {
      if (dieLength?.value != null) dieWhereNone.push(m.truth.id);
      continue;
    }
    dies++;
    push("dieLength", dieLength, die[0]);
    push("dieWidth", dieWidth, die[1]);
    if (dieLength?.value == null) dieUnmeasured.push(`${m.truth.id} ${dieLength?.because}`);
  }
  return { lengths, dies, dieUnmeasured, dieWhereNone };
}

/** The error of a measured length against the true one, or null when there is no number. */
function lengthError(match: Match, measuredAs: Measured | undefined, truePx: number): LengthError | null {
  if (measuredAs === undefined || measuredAs.value === null) return null;
  const perPx = measuredAs.unit === "mm" ? match.mmPerPx : 1;
  return {
    id: match.truth.id,
    truePx,
    errorPx: measuredAs.value / perPx - truePx,
    expandedPx: measuredAs.U / perPx,
  };
}

/** Sides of the die along and across the direction in which the method measures its length (its first body side). */
function dieSides(truth: TruePart, found: LotDocumentPart): readonly [number, number] | null {
  const die = truth.die.corners_px;
  if (!truth.die.present || !die) return null;
  const along = ([ax, ay]: Point, [bx, by]: Point, [cx, cy]: Point, [dx, dy]: Point) =>
    Math.abs((bx - ax) * (dx - cx) + (by - ay) * (dy - cy)) / distance([ax, ay], [bx, by]);
  const [p, q, r] = die as readonly [Point, Point, Point];
  const [c, d] = found.cornersPx;
  const [first, second] = sides(die);
  return along(p, q, c, d) >= along(q, r, c, d) ? [first, second] : [second, first];
}

/** Distances of the found body corners from the true ones, in the cyclic order that fits best. */
export function cornerErrors(truth: TruePart, found: LotDocumentPart): readonly number[] {
  const orders = [0, 1, 2, 3].flatMap((s) =>
    [1, 3].map((step) => [0, 1, 2, 3].map((i) => found.cornersPx[(s + step * i) % 4] as Point)),
  );
  const errors = orders.map((order) => order.map((p, i) => distance(p, truth.body_corners_px[i] as Point)));
  const sum = (of: readonly number[]) => of.reduce((a, b) => a + b, 0);
  return errors.reduce((best, e) => (sum(e) < sum(best) ? e : best));
}

export function lengthText(name: string, errors: readonly LengthError[], of: number): string {
  if (!errors.length) return `${name} none of ${of}`;
  const e = errors.map((x) => x.errorPx);
  const mean = e.reduce((a, b) => a + b, 0) / e.length;
  const sd = Math.sqrt(e.reduce((a, b) => a + (b - mean) ** 2, 0) / Math.max(1, e.length - 1));
  const max = Math.max(...e.map(Math.abs));
  const within = errors.filter((x) => Math.abs(x.errorPx) <= Math.max(0.01 * x.truePx, 1)).length;
  const covered = errors.filter((x) => Math.abs(x.errorPx) <= x.expandedPx).length;
  const percent = (n: number) => `${Math.round((100 * n) / errors.length)} %`;
  return `${name} ${errors.length}/${of} bias ${mean.toFixed(2)} sd ${sd.toFixed(2)} max ${max.toFixed(2)} px, within ${percent(within)}, in U ${percent(covered)}`;
}

/** The worst of the lengths outside max(1 %, 1 px), five a kind. */
export function worstLengths(lengths: Readonly<Record<string, readonly LengthError[]>>): string[] {
  return Object.entries(lengths).flatMap(([name, errors]) => {
    const out = errors.filter((e) => Math.abs(e.errorPx) > Math.max(0.01 * e.truePx, 1));
    if (!out.length) return [];
    out.sort((a, b) => Math.abs(b.errorPx) - Math.abs(a.errorPx));
    const worst = out
      .slice(0, 5)
      .map((e) => `${e.id} ${e.errorPx.toFixed(2)} of ${e.truePx.toFixed(1)} (U ${e.expandedPx})`);
    return [`${name} outside max(1 %, 1 px): ${out.length} of ${errors.length}: ${worst.join(", ")}`];
  });
}
