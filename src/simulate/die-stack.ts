import type { Random } from "../statistics/random.ts";
import type { Construction, LeadMm } from "./construction.ts";
import type { Ball, Feature, OutlineMm, PointMm } from "./feature.ts";
import { sheet } from "./feature.ts";
import { between, disc, rectangle } from "./outline.ts";

/** A bond wire as built. */
export interface BuiltWire {
  readonly pin: number;
  readonly to: string;
  readonly startMm: PointMm;
  readonly endMm: PointMm;
  readonly lengthMm: number;
  readonly status: "present" | "absent" | "broken" | "elsewhere";
}

/** What goes wrong with the wires of one part, by pin. */
export type WireFaults = ReadonlyMap<number, "absent" | "broken" | "elsewhere">;

/** How much parts of one construction differ: standard deviations. */
export interface BuildSpread {
  readonly dieShiftMm: number;
  readonly dieTurnDeg: number;
  /** Sideways bow of a wire over its length. */
  readonly wireSway: number;
  /** Voids in the die attach, mean number. */
  readonly attachVoids: number;
}

/** Mean width of the attach fillet: a share of the die's shorter side, between bounds; and its height over the die's. */
const FILLET_WIDTH_SHARE = 0.05;
const FILLET_WIDTH_MM = [0.03, 0.14] as const;
const FILLET_HEIGHT_SHARE = 0.5;
/** Thickness of the attach layer under a die. */
export const ATTACH_THICKNESS_MM = 0.025;
const PERIMETER_POINTS = 96;

/** Points evenly along a rectangle's perimeter, with the outward direction at each. */
function perimeter(length: number, width: number): { point: PointMm; out: PointMm }[] {
  const total = 2 * (length + width);
  return Array.from({ length: PERIMETER_POINTS }, (_, i) => {
    let s = (i / PERIMETER_POINTS) * total;
    if (s < length) return { point: [s - length / 2, -width / 2], out: [0, -1] };
    s -= length;
    if (s < width) return { point: [length / 2, s - width / 2], out: [1, 0] };
    s -= width;
    if (s < length) return { point: [length / 2 - s, width / 2], out: [0, 1] };
    return { point: [-length / 2, width / 2 - (s - length)], out: [-1, 0] };
  });
}

/** Turns an outline by `turnDeg` and moves it by `shift`. */
export function moved(outline: OutlineMm, shift: PointMm, turnDeg: number): OutlineMm {
  const c = Math.cos((turnDeg * Math.PI) / 180);
  const s = Math.sin((turnDeg * Math.PI) / 180);
  return outline.map(([x, y]): PointMm => [shift[0] + c * x - s * y, shift[1] + s * x + c * y]);
}

/** Die attach: a thin layer under the die and a fillet of irregular width that climbs its walls. */
export function dieAttach(
  dieMm: readonly [number, number, number],
  centre: PointMm,
  turnDeg: number,
  zMm: number,
  voids: number,
  random: Random,
): { features: Feature[]; voidsMm: { centreMm: PointMm; radiusMm: number }[] } {
  const [length, width, thickness] = dieMm;
  const usual = Math.max(
    FILLET_WIDTH_MM[0],
    Math.min(FILLET_WIDTH_MM[1], FILLET_WIDTH_SHARE * Math.min(length, width)),
  );
  const mean = usual * Math.exp(0.25 * random.normal());
  const waves = [1, 2, 3, 4, 5].map((k) => [k, (0.45 / k) * random.normal(), 2 * Math.PI * random.uniform()]);
  const edge = perimeter(length, width);
  const outer = edge.map(({ point, out }, i): PointMm => {
    const angle = (2 * Math.PI * i) / PERIMETER_POINTS;
    let factor = 1;
    for (const [k, amplitude, phase] of waves) factor += amplitude * Math.cos(k * angle + phase);
    const reach = mean * Math.max(0.25, factor);
    const diagonal = [Math.sign(point[0]) * 0.35, Math.sign(point[1]) * 0.35];
    const atCorner = length / 2 - Math.abs(point[0]) + width / 2 - Math.abs(point[1]) < 0.05 * length ? 1 : 0;
    return [
      point[0] + reach * (out[0] + atCorner * diagonal[0]),
      point[1] + reach * (out[1] + atCorner * diagonal[1]),
    ];
  });
  const inner = edge.map(({ point }) => point);
  const place = (o: OutlineMm): OutlineMm => moved(o, centre, turnDeg);
  const features: Feature[] = [sheet("silverEpoxy", ATTACH_THICKNESS_MM, zMm, [place(outer)])];
  const layers = 6;
  const height = FILLET_HEIGHT_SHARE * thickness * Math.exp(0.1 * random.normal());
  const die = place(rectangle([0, 0], length, width));
  for (let k = 0; k < layers; k++) {
    const share = ((k + 0.5) / layers) ** 1.3;
    features.push(
      sheet("silverEpoxy", height / layers, zMm + height / 2, [place(between(outer, inner, share))], [die]),
    );
  }
  const voidsMm: { centreMm: PointMm; radiusMm: number }[] = [];
  const count = Math.floor(voids * 2 * random.uniform() + 0.5);
  for (let i = 0; i < count; i++) {
    const radiusMm = Math.min(length, width) * random.between(0.008, 0.03);
    const at: PointMm = [random.between(-0.4, 0.4) * length, random.between(-0.4, 0.4) * width];
    const centreMm = place([at])[0];
    voidsMm.push({ centreMm, radiusMm });
    features.push(sheet("silverEpoxy", -ATTACH_THICKNESS_MM, zMm, [disc(centreMm, radiusMm, 16)]));
  }
  return { features, voidsMm };
}

/** Point on the die, `margin` inside its edge, that faces `target`; in the die's own frame. */
function bondOnDie(target: PointMm, length: number, width: number, margin: number): PointMm {
  const u = target[0] / (length / 2);
  const v = target[1] / (width / 2);
  const largest = Math.max(Math.abs(u), Math.abs(v), 1e-9);
  return [(u / largest) * (length / 2 - margin), (v / largest) * (width / 2 - margin)];
}

function bowed(from: PointMm, to: PointMm, bow: number): PointMm[] {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  return Array.from({ length: 11 }, (_, i): PointMm => {
    const t = i / 10;
    const side = bow * 4 * t * (1 - t) * (1.25 - 0.5 * t);
    return [from[0] + t * dx - side * dy, from[1] + t * dy + side * dx];
  });
}

/** Bond wires from the die to the lead tips, ball on the die, stitch on the lead. */
export function bondWires(
  construction: Construction,
  leads: readonly LeadMm[],
  centre: PointMm,
  turnDeg: number,
  dieSize: readonly [number, number],
  zMm: number,
  spread: BuildSpread,
  faults: WireFaults,
  random: Random,
): { features: Feature[]; wires: BuiltWire[] } {
  const features: Feature[] = [];
  const wires: BuiltWire[] = [];
  const { wire, bonded } = construction;
  if (wire === null) return { features, wires };
  const d = wire.diameterMm;
  const sweep = 0.5 * spread.wireSway * random.normal();
  leads.forEach((lead, index) => {
    if (lead.tipMm === null || (bonded !== "all" && !bonded.includes(lead.pin))) return;
    const status = faults.get(lead.pin) ?? "present";
    const [length, width] = dieSize;
    const margin = Math.min(0.11, 0.12 * Math.min(length, width));
    const own = moved([[lead.tipMm[0] - centre[0], lead.tipMm[1] - centre[1]]], [0, 0], -turnDeg)[0];
    let onDie = bondOnDie(own, length, width, margin);
    if (status === "elsewhere") onDie = [-0.55 * onDie[0] + 0.1 * onDie[1], 0.3 * onDie[1] + 0.1 * onDie[0]];
    const jitter = (): number => 0.006 * random.normal();
    const startMm = moved([[onDie[0] + jitter(), onDie[1] + jitter()]], centre, turnDeg)[0];
    const endMm: PointMm = [lead.tipMm[0] + 2 * jitter(), lead.tipMm[1] + 2 * jitter()];
    const bow = sweep + spread.wireSway * random.normal();
    const lengthMm = Math.hypot(endMm[0] - startMm[0], endMm[1] - startMm[1]);
    wires.push({ pin: lead.pin, to: `D${index + 1}`, startMm, endMm, lengthMm, status });
    const cutAt = random.between(0.4, 0.6);
    if (status === "absent") return;
    const path = bowed(startMm, endMm, bow);
    const round = (centreMm: PointMm, radiusMm: number, halfHeightMm: number): Ball => {
      return { kind: "ball", material: wire.material, centreMm, radiusMm, halfHeightMm, zMm, sign: 1 };
    };
    features.push(round(startMm, 1.35 * d, 0.45 * d), round(endMm, 1.1 * d, 0.2 * d));
    const piece = (points: PointMm[]): void => {
      if (points.length < 2) return;
      features.push({ kind: "wire", material: wire.material, diameterMm: d, zMm, pathMm: points });
    };
    if (status === "broken") {
      piece(path.slice(0, Math.round(10 * (cutAt - 0.15)) + 1));
      piece(path.slice(Math.round(10 * (cutAt + 0.15))));
    } else {
      piece(path);
    }
  });
  return { features, wires };
}
