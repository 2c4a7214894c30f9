import type { MaterialName } from "../../physics/material.ts";
import type { Random } from "../../statistics/random.ts";
import type { Feature, OutlineMm, PointMm } from "../feature.ts";
import { sheet } from "../feature.ts";
import { box } from "../outline.ts";

/** A formed lead outside the body, all lengths mm. */
export interface GullWing {
  readonly leadWidth: number;
  /** From the body to the first bend. */
  readonly shoulder: number;
  /** Height that the leg falls: seen end on, it is that much metal. */
  readonly legHeight: number;
  /** From the body edge to the lead's end. */
  readonly reach: number;
  /** Width of the stub that the dam bar leaves, over the lead width. */
  readonly damStub: number;
}

/** Places a point given as (across, outwards from the body edge) in the part. */
export type OnSide = (point: PointMm) => PointMm;

/** Outlines gathered over all leads, one list per thickness of metal. */
export interface LeadOutlines {
  readonly flat: OutlineMm[];
  readonly leg: OutlineMm[];
  readonly bend: OutlineMm[];
  readonly foot: OutlineMm[];
}

/** Adds one formed lead that leaves the body at `across`. */
export function addGullWing(
  out: LeadOutlines,
  shape: GullWing,
  thicknessMm: number,
  across: number,
  onSide: OnSide,
  random: Random,
): PointMm {
  const half = shape.leadWidth / 2;
  const place = (o: OutlineMm): OutlineMm => o.map(onSide);
  const x = across + 0.008 * random.normal();
  const legAt = shape.shoulder + 0.012 * random.normal();
  const legTo = legAt + thicknessMm;
  const bendTo = legTo + 1.1 * thicknessMm;
  const end = shape.reach + 0.015 * random.normal();
  out.flat.push(place(box(x - half, -0.02, x + half, legAt)));
  if (shape.damStub > 1) {
    const wide = half * shape.damStub;
    const from = 0.35 * shape.shoulder;
    out.flat.push(place(box(x - wide, from, x + wide, Math.min(legAt, from + 0.16))));
  }
  out.leg.push(place(box(x - half, legAt, x + half, legTo)));
  // A lead that ends with its leg (dual in-line) has neither bend nor foot.
  if (shape.reach > shape.shoulder + 1.5 * thicknessMm) {
    out.bend.push(place(box(x - half, legTo, x + half, bendTo)));
    out.foot.push(place(box(x - half, bendTo, x + half, end)));
  }
  return onSide([x, end - 0.1]);
}

/** The formed leads as matter. `inner` is what lies flat with them: inner leads, pad, tie bars. */
export function leadFeatures(
  out: LeadOutlines,
  inner: readonly OutlineMm[],
  holes: readonly OutlineMm[],
  material: MaterialName,
  thicknessMm: number,
  legHeightMm: number,
  zMm: number,
): Feature[] {
  return [
    sheet(material, thicknessMm, zMm, [...inner, ...out.flat], holes),
    sheet(material, legHeightMm, zMm - legHeightMm / 2, out.leg),
    sheet(material, 1.35 * thicknessMm, zMm - legHeightMm, out.bend),
    sheet(material, thicknessMm, zMm - legHeightMm, out.foot),
  ].filter((f) => f.outlines.length > 0);
}
