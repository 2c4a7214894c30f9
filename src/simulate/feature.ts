import type { MaterialName } from "../physics/material.ts";

/** A point of a part in mm, its own frame: origin at the body centre, x along the body, y down as pin 1 sees it. */
export type PointMm = readonly [x: number, y: number];

/** A closed outline in mm, corners in order, either way round. */
export type OutlineMm = readonly PointMm[];

/** Flat matter of one thickness: the union of its outlines, less its holes. */
export interface Sheet {
  readonly kind: "sheet";
  readonly material: MaterialName;
  /** Matter along the beam; negative takes matter away (a void). */
  readonly thicknessMm: number;
  /** Height of its middle above the seating plane of the picture. */
  readonly zMm: number;
  readonly outlines: readonly OutlineMm[];
  readonly holes: readonly OutlineMm[];
}

/** A round wire along a path. */
export interface Wire {
  readonly kind: "wire";
  readonly material: MaterialName;
  readonly diameterMm: number;
  readonly zMm: number;
  readonly pathMm: OutlineMm;
}

/** An ellipsoid: round in the picture, `halfHeightMm` along the beam. Negative `sign` takes matter away. */
export interface Ball {
  readonly kind: "ball";
  readonly material: MaterialName;
  readonly centreMm: PointMm;
  readonly radiusMm: number;
  readonly halfHeightMm: number;
  readonly zMm: number;
  readonly sign: 1 | -1;
}

/** One piece of matter in the beam. */
export type Feature = Sheet | Wire | Ball;

/** A sheet with defaults: no holes. */
export function sheet(
  material: MaterialName,
  thicknessMm: number,
  zMm: number,
  outlines: readonly OutlineMm[],
  holes: readonly OutlineMm[] = [],
): Sheet {
  return { kind: "sheet", material, thicknessMm, zMm, outlines, holes };
}
