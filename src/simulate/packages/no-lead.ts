import type { BuildPackage, LeadMm } from "../construction.ts";
import type { Feature, OutlineMm, PointMm } from "../feature.ts";
import { sheet } from "../feature.ts";
import { box, chamferedRectangle, disc, quarterTurned, strip } from "../outline.ts";
import { mouldedBody } from "./moulded-body.ts";

/** A lead frame whose leads end flush with the body, the pad bare underneath. Lengths mm. */
export interface NoLeadShape {
  readonly perSide: number;
  readonly pitch: number;
  readonly leadWidth: number;
  readonly leadLength: number;
  /** Half-etched extension of each lead towards the die: length and width. */
  readonly extension: readonly [length: number, width: number];
  readonly padChamfer: number;
  /** The pad's corner by pin 1 is cut off by this. */
  readonly pinOneChamfer: number;
  readonly tieWidth: number;
  /** Rows of small holes (vents) in the pad edge, radius; 0 for none. */
  readonly ventRadius: number;
}

/** Builder of a four-sided package without projecting leads. */
export function noLeadPackage(shape: NoLeadShape): BuildPackage {
  return (construction) => {
    const [length, width] = construction.bodyMm;
    const pad = construction.padMm ?? [0, 0];
    const t = construction.frameThicknessMm;
    const full: OutlineMm[] = [];
    const etched: OutlineMm[] = [];
    const leads: LeadMm[] = [];
    for (let side = 0; side < 4; side++) {
      const half = (side % 2 === 0 ? width : length) / 2;
      for (let i = 0; i < shape.perSide; i++) {
        const x = (i - (shape.perSide - 1) / 2) * shape.pitch;
        const w = shape.leadWidth / 2;
        const inside = half - shape.leadLength;
        full.push(quarterTurned(box(x - w, inside, x + w, half + 0.01), -side));
        const [more, wide] = shape.extension;
        const tip: PointMm = [x * 0.88, inside - more];
        etched.push(
          quarterTurned(strip([[x, inside + 0.05], [x * 0.95, inside - more / 2], tip], [wide, wide, wide]), -side), // biome-ignore format: a path on one line
        );
        const land: PointMm = [x * 0.93, inside - 0.5 * more];
        leads.push({
          pin: side * shape.perSide + i + 1,
          tipMm: quarterTurned([land], -side)[0],
          footMm: quarterTurned([[x, half - 0.1]], -side)[0],
        });
      }
    }
    // The corner by pin 1 (the last two points of the outline's bottom left) is cut off further.
    const padOutline = chamferedRectangle([0, 0], pad[0], pad[1], shape.padChamfer).map((p, i): PointMm => {
      if (i === 5) return [-pad[0] / 2 + shape.pinOneChamfer, p[1]];
      if (i === 6) return [p[0], pad[1] / 2 - shape.pinOneChamfer];
      return p;
    });
    full.push(padOutline);
    const holes: OutlineMm[] = [];
    if (shape.ventRadius > 0) {
      for (const s of [-1, 1]) {
        for (const k of [-1, 0, 1]) {
          holes.push(disc([(k * pad[0]) / 3.2, s * (pad[1] / 2 - 0.12)], shape.ventRadius));
        }
      }
    }
    for (const [sx, sy] of [
      [-1, -1],
      [1, -1],
      [1, 1],
      [-1, 1],
    ]) {
      // biome-ignore format: four corners
      const from: PointMm = [sx * (pad[0] / 2 - 0.5), sy * (pad[1] / 2 - 0.5)];
      const to: PointMm = [sx * (length / 2 - shape.tieWidth), sy * (width / 2 - shape.tieWidth)];
      etched.push(strip([from, to], [shape.tieWidth, shape.tieWidth]));
    }
    const frame: Feature[] = [
      sheet(construction.frameMaterial, t, t / 2, full, holes),
      sheet(construction.frameMaterial, 0.5 * t, 0.75 * t, etched, full),
    ];
    return {
      frame,
      body: mouldedBody(length, width, construction.bodyThicknessMm, 0),
      overallMm: [length, width],
      padOutlineMm: box(-pad[0] / 2, -pad[1] / 2, pad[0] / 2, pad[1] / 2),
      leads,
      dieCentreMm: [0, 0],
      dieZMm: t,
    };
  };
}
