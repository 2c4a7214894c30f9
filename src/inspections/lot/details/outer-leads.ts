import { labelComponents } from "../../../numeric/components.ts";
import type { BoxPx, Image, PointPx } from "../../../numeric/image.ts";
import { createMask } from "../../../numeric/image.ts";
import { median, quantile } from "../../../numeric/order.ts";
import { growRectangle } from "../../../numeric/oriented-rectangle.ts";
import { distanceTo, metalOverMould } from "../../wires/lead-metal.ts";
import type { Tone } from "../placing/match-tone.ts";
import { applyTone } from "../placing/match-tone.ts";
import type { GroupScene } from "./group-scenes.ts";

/** A lead outside the body, as a group's average shows it. */
export interface OuterLead {
  /** Window in which it is looked at, frame px. */
  readonly boxPx: BoxPx;
  /** Direction away from the body: along x or y, and its sign. */
  readonly alongX: boolean;
  readonly sign: 1 | -1;
  /** Across, px. */
  readonly widthPx: number;
  readonly lengthPx: number;
}

/** What one part shows of an outer lead. */
export interface LeadShape {
  /** Attenuation over what is around it, summed over the window, px. */
  readonly mass: number;
  /** Middle across and place of its end outwards, frame px. */
  readonly acrossPx: number;
  readonly endPx: number;
}

/** Share of metal over mould above which what lies outside the body is lead, and its least area in bodies. */
const leastOfMetal = 0.4;
const leastShare = 5e-4;
/** What stands out less far than this share of what is usual is the stub of a tie bar. */
const leastOfUsual = 0.3;
/** Room around a lead in its window, px; half of the way to the next lead at most. */
const roomPx = 7;
/** Outside the body's edge: flash and the mould's own slope lie nearer, px. */
const offBodyPx = 3;

/** Finds the leads outside the body: pieces of metal that begin at its edge. */
export function outerLeads(group: GroupScene): OuterLead[] {
  const { average, scene } = group;
  const { width, height, data } = average;
  const { body } = scene;
  const level = leastOfMetal * metalOverMould(average, scene);
  const outside = growRectangle(body, offBodyPx);
  const metal = createMask(width, height);
  for (let i = 0; i < data.length; i++) {
    if ((data[i] as number) > level && distanceTo(outside, [i % width, Math.floor(i / width)]) > 0)
      metal.data[i] = 1;
  }
  const least = leastShare * body.lengthPx * body.widthPx;
  const found = labelComponents(metal, 4).components.flatMap((c): OuterLead[] => {
    const [x, y, w, h] = c.boxPx;
    if (c.areaPx < least || c.touchesBorder) return [];
    const [dx, dy] = [c.centroidPx[0] - body.centrePx[0], c.centroidPx[1] - body.centrePx[1]];
    const alongX = Math.abs(dx) / body.lengthPx > Math.abs(dy) / body.widthPx;
    const sign = (alongX ? dx : dy) > 0 ? 1 : -1;
    const from = distanceTo(body, nearestPoint(c.boxPx, body.centrePx));
    // What stands apart from the body is no lead of it.
    if (from > 2 * offBodyPx + 2) return [];
    return [{ boxPx: [x, y, w, h], alongX, sign, widthPx: alongX ? h : w, lengthPx: alongX ? w : h }];
  });
  if (!found.length) return [];
  const usual = median(found.map((lead) => lead.lengthPx));
  const leads = found.filter((lead) => lead.lengthPx > leastOfUsual * usual);
  return leads.map((lead) => ({ ...lead, boxPx: roomAround(lead, leads, width, height) }));
}

function nearestPoint([x, y, w, h]: BoxPx, [cx, cy]: PointPx): PointPx {
  return [Math.min(Math.max(cx, x), x + w - 1), Math.min(Math.max(cy, y), y + h - 1)];
}

/** A lead's box with room to its sides and end, not into the body nor into the next lead's. */
function roomAround(lead: OuterLead, all: readonly OuterLead[], width: number, height: number): BoxPx {
  const [x, y, w, h] = lead.boxPx;
  const side = lead.alongX ? 1 : 0;
  const gaps = all.flatMap((other) => {
    if (other === lead || other.alongX !== lead.alongX || other.sign !== lead.sign) return [];
    const [own, next] = [lead.boxPx, other.boxPx];
    return [
      Math.max(
        (next[side] as number) - (own[side] as number) - (own[side + 2] as number),
        (own[side] as number) - (next[side] as number) - (next[side + 2] as number),
      ),
    ];
  });
  const room = Math.max(0, Math.min(roomPx, Math.floor(Math.min(2 * roomPx, ...gaps) / 2)));
  const [before, after] = lead.sign > 0 ? [0, roomPx] : [roomPx, 0];
  const [l, r] = lead.alongX ? [before, after] : [room, room];
  const [t, b] = lead.alongX ? [room, room] : [before, after];
  const left = Math.max(0, x - l);
  const top = Math.max(0, y - t);
  return [left, top, Math.min(width, x + w + r) - left, Math.min(height, y + h + b) - top];
}

/**
 * What a part shows of a lead.
 *
 * @param tone takes the part's attenuation to the lot's
 * @returns null where its picture does not hold the window, or no lead is in it
 */
export function leadShape(image: Image, tone: Tone, { boxPx, alongX, sign }: OuterLead): LeadShape | null {
  const [x0, y0, w, h] = boxPx;
  const values = new Float32Array(w * h);
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      const v = image.data[(y + y0) * image.width + x + x0] as number;
      if (Number.isNaN(v)) return null;
      values[y * w + x] = applyTone(tone, v);
    }
  }
  const ground = quantile(values, 0.05);
  const outward = new Float64Array(alongX ? w : h);
  let [mass, moment] = [0, 0];
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      const v = Math.max(0, (values[y * w + x] as number) - ground);
      mass += v;
      moment += v * (alongX ? y : x);
      outward[alongX ? x : y] = (outward[alongX ? x : y] as number) + v;
    }
  }
  if (!(mass > 0)) return null;
  const steps = sign > 0 ? Array.from(outward) : Array.from(outward).reverse();
  const half = 0.5 * quantile(steps, 0.5);
  let end = -1;
  for (let t = steps.length - 1; t > 0; t--) {
    const [own, next] = [steps[t - 1] as number, steps[t] as number];
    if (own >= half && next < half) {
      end = t - 1 + (own - half) / Math.max(1e-9, own - next);
      break;
    }
  }
  if (end < 0) return null;
  return { mass, acrossPx: moment / mass + (alongX ? y0 : x0), endPx: end };
}
