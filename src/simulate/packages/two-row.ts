import type { BuildPackage, LeadMm } from "../construction.ts";
import type { OutlineMm, PointMm } from "../feature.ts";
import { box, chamferedRectangle, disc, quarterTurned, strip } from "../outline.ts";
import type { GullWing, LeadOutlines } from "./gull-wing.ts";
import { addGullWing, leadFeatures } from "./gull-wing.ts";
import { mouldedBody } from "./moulded-body.ts";

/** A lead frame with leads on the two long sides. Lengths mm. */
export interface TwoRowShape {
  readonly pins: number;
  readonly pitch: number;
  readonly wing: GullWing;
  readonly draft: number;
  readonly innerWidth: number;
  /** Between pad and lead tips. */
  readonly gap: number;
  /** Width of a lead at its tip over its inner width, for leads that face the pad. */
  readonly flare: number;
  readonly tie: "single" | "tapered" | "double";
  readonly tieWidth: number;
  /** Locking holes in these leads, counted from the left of a row. */
  readonly holesInLeads: readonly number[];
  readonly leadHole: number;
  /** Holes in the pad: [x, y, radius]. */
  readonly padHoles: readonly (readonly [number, number, number])[];
  readonly padChamfer: number;
  /** Pins whose lead is one piece with the pad. */
  readonly fused: readonly number[];
}

interface InnerLead {
  readonly outline: OutlineMm;
  readonly tip: PointMm;
  readonly elbow: PointMm;
}

/** The part of a bottom-row lead inside the body, from the edge at `x` to its tip near the pad. */
function innerLead(
  x: number,
  sideRank: number,
  sideCount: number,
  shape: TwoRowShape,
  halfWidth: number,
  pad: readonly [number, number],
): InnerLead {
  const [padHalfL, padHalfW] = [pad[0] / 2, pad[1] / 2];
  const w = shape.wing.leadWidth;
  const start: PointMm = [x, halfWidth + 0.02];
  if (sideRank < 0) {
    const tip: PointMm = [x * 0.94, padHalfW + shape.gap];
    const room = halfWidth - tip[1];
    const neck: PointMm = [x, halfWidth - 0.3 * room];
    const wide = shape.innerWidth * shape.flare;
    const shoulder: PointMm = [x * 0.97, halfWidth - 0.55 * room];
    return {
      outline: strip([start, neck, shoulder, tip], [w, w, wide, wide]),
      tip: [tip[0], tip[1] + Math.min(0.15, 0.3 * room)],
      elbow: shoulder,
    };
  }
  const lowest = shape.tieWidth / 2 + (shape.tie === "double" ? 0.32 : 0.12);
  const highest = padHalfW + 0.6 * shape.gap;
  const step = (highest - lowest) / sideCount;
  const y = lowest + (sideRank + 0.5) * step;
  const side = Math.sign(x);
  const tip: PointMm = [side * (padHalfL + shape.gap), y];
  const bend = Math.min(Math.abs(x - tip[0]) * 0.6, (halfWidth - y) * 0.6);
  const inner = Math.min(shape.innerWidth, 0.62 * step);
  const elbow: PointMm = [x, y + bend];
  const path: PointMm[] = [start, [x, halfWidth - 0.15 * (halfWidth - y)], elbow, [x - side * bend, y], tip];
  const clean = path.filter(
    (p, i) => i === 0 || Math.hypot(p[0] - path[i - 1][0], p[1] - path[i - 1][1]) > 0.03,
  );
  const widths = clean.map((_, i) => (i < 2 ? w : Math.max(inner, w - (w - inner) * ((i - 1) / 2))));
  const back = Math.min(0.15, 0.4 * Math.abs(x - tip[0]) + 0.03);
  return { outline: strip(clean, widths), tip: [tip[0] + side * back, y], elbow };
}

function tieBars(shape: TwoRowShape, length: number, padHalfL: number): OutlineMm[] {
  const end = length / 2 + 0.06;
  const start = padHalfL - 0.05;
  const w = shape.tieWidth;
  const bars: OutlineMm[] = [];
  for (const side of [-1, 1]) {
    const bar = (path: PointMm[], widths: number[]): void => {
      bars.push(
        strip(
          path.map(([x, y]): PointMm => [side * x, y]),
          widths,
        ),
      );
    };
    if (shape.tie === "single") {
      bar([[start, 0], [end, 0]], [w, w]); // biome-ignore format: one bar a line
    } else if (shape.tie === "tapered") {
      bar([[start, 0], [end, 0]], [1.5 * w, 0.9 * w]); // biome-ignore format: one bar a line
    } else {
      const a = 0.28;
      const b = 0.12;
      const run = end - start;
      for (const s of [-1, 1]) {
        bar([[start, s * a], [start + 0.3 * run, s * a], [start + 0.7 * run, s * b], [end, s * b]], [w, w, w, w].map((v) => v * 0.55)); // biome-ignore format: one bar a line
      }
    }
  }
  return bars;
}

/** Builder of a two-row leaded package for one lead-frame shape. */
export function twoRowPackage(shape: TwoRowShape): BuildPackage {
  return (construction, random) => {
    const [length, width] = construction.bodyMm;
    const pad = construction.padMm ?? [0, 0];
    const perSide = shape.pins / 2;
    const half = width / 2;
    const outlines: LeadOutlines = { flat: [], leg: [], bend: [], foot: [] };
    const inner: OutlineMm[] = [];
    const holes: OutlineMm[] = [];
    const leads: LeadMm[] = [];
    const xs = Array.from({ length: perSide }, (_, i) => (i - (perSide - 1) / 2) * shape.pitch);
    const reachOfPad = pad[0] / 2 + shape.gap + 0.05;
    const sideCount = xs.filter((x) => x < -reachOfPad).length;
    for (const row of [0, 1]) {
      for (let i = 0; i < perSide; i++) {
        const pin = row * perSide + i + 1;
        const x = xs[i];
        const rank = i < sideCount ? i : i >= perSide - sideCount ? perSide - 1 - i : -1;
        const lead = innerLead(x, rank, sideCount, shape, half, pad);
        const turned = (o: OutlineMm): OutlineMm => quarterTurned(o, 2 * row);
        inner.push(turned(lead.outline));
        const fused = shape.fused.includes(pin);
        if (fused) inner.push(turned(strip([lead.elbow, lead.tip, [0.6 * lead.tip[0], 0]], [0.3, 0.3, 0.3])));
        if (shape.holesInLeads.includes(i)) {
          holes.push(turned(disc([x, half - 0.28 * (half - Math.abs(lead.elbow[1]))], shape.leadHole)));
        }
        const onSide = ([a, out]: PointMm): PointMm => quarterTurned([[a, half + out]], 2 * row)[0];
        const foot = addGullWing(outlines, shape.wing, construction.frameThicknessMm, x, onSide, random);
        leads.push({ pin, tipMm: fused ? null : turned([lead.tip])[0], footMm: foot });
      }
    }
    const padOutline =
      construction.padMm === null ? null : box(-pad[0] / 2, -pad[1] / 2, pad[0] / 2, pad[1] / 2);
    if (padOutline !== null) {
      inner.push(chamferedRectangle([0, 0], pad[0], pad[1], shape.padChamfer));
      inner.push(...tieBars(shape, length, pad[0] / 2));
      for (const [x, y, r] of shape.padHoles) holes.push(disc([x, y], r));
    }
    const z = construction.bodyThicknessMm / 2;
    return {
      frame: leadFeatures(
        outlines,
        inner,
        holes,
        construction.frameMaterial,
        construction.frameThicknessMm,
        shape.wing.legHeight,
        z,
      ),
      body: mouldedBody(length, width, construction.bodyThicknessMm, shape.draft),
      overallMm: [length + 0.12, width + 2 * shape.wing.reach],
      padOutlineMm: padOutline,
      leads,
      dieCentreMm: [0, 0],
      dieZMm: z + construction.frameThicknessMm / 2,
    };
  };
}
