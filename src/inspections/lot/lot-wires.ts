import { applyMap, invertMap } from "../../align/similarity.ts";
import { evenly } from "../../numeric/evenly.ts";
import type { BoxPx, Image, PointPx } from "../../numeric/image.ts";
import { median } from "../../numeric/order.ts";
import type { OrientedRectangle } from "../../numeric/oriented-rectangle.ts";
import { medianRectangle } from "../../numeric/oriented-rectangle.ts";
import type { Measured } from "../../units/measured.ts";
import { notMeasured } from "../../units/measured.ts";
import type { ComparedWires, PartWire } from "../wires/compare-wires.ts";
import { compareWires, leastPartsForWires } from "../wires/compare-wires.ts";
import type { WirePart } from "../wires/wire-parts.ts";
import { toPictureMap } from "./describe-part.ts";
import { bodyLevels } from "./inside-body.ts";
import type { PlacedItem } from "./lot-item.ts";
import type { MeasuredLot } from "./measure-lot.ts";
import { boxInPicture } from "./picture-box.ts";
import type { PlacedLot } from "./place-lot.ts";
import { middleOf } from "./place-lot.ts";
import type { LotCall, LotCompared, LotWire } from "./result.ts";

/** What was found of one part's wires. */
export interface PartWires {
  /** Wires seen, with the number of those that could not be judged as its uncertainty. */
  readonly seen: Measured;
  readonly calls: readonly LotCall[];
  readonly wires: readonly LotWire[];
}

/** The wires of the lot. */
export interface LotWires {
  readonly parts: readonly PartWires[];
  readonly compared: LotCompared;
}

/** Parts whose average shows leads and wires; more make it no sharper. */
const mostAveraged = 15;

/**
 * Compares the bond wires of each group's parts with each other.
 *
 * @param images each part in the lot's frame, attenuation
 * @param members the parts of each group
 */
export function lotWires(
  lot: PlacedLot,
  measured: MeasuredLot,
  images: readonly Image[],
  members: readonly (readonly number[])[],
): LotWires {
  const none: PartWires = { seen: notMeasured("1", "not-visible"), calls: [], wires: [] };
  const parts = lot.items.map(() => none);
  if (lot.frame.wholeField)
    return { parts, compared: notCompared("crops of a board show no package's wires") };
  const found: ComparedWires[] = [];
  for (const own of members) {
    const wires = groupWires(lot, measured, images, own);
    if (!wires) {
      for (const i of own) parts[i] = { seen: notMeasured("1", "too-few"), calls: [], wires: [] };
      continue;
    }
    found.push(wires);
    own.forEach((i, k) => {
      if (!wires.bonded.length) return;
      const of = wires.parts[k] as readonly PartWire[];
      const item = lot.items[i] as PlacedItem;
      parts[i] = {
        seen: wiresSeen(of),
        calls: of.flatMap((w) => wireCall(w, wires, item)),
        wires: of.map((w) => wireInPicture(w, item)),
      };
    });
  }
  return { parts, compared: describe(found) };
}

function wireInPicture({ lead, state, fromPx, toPx, contrastToNoise }: PartWire, item: PlacedItem): LotWire {
  const map = toPictureMap(item);
  return { lead, state, fromPx: applyMap(map, fromPx), toPx: applyMap(map, toPx), contrastToNoise };
}

function groupWires(
  lot: PlacedLot,
  measured: MeasuredLot,
  images: readonly Image[],
  own: readonly number[],
): ComparedWires | null {
  const parts = own.map(
    (i): WirePart => ({
      image: images[i] as Image,
      die: dieInFrame(lot.items[i] as PlacedItem, measured.parts[i]?.die?.rectangle ?? null),
    }),
  );
  const dies = parts.flatMap((p) => (p.die ? [p.die] : []));
  if (dies.length < leastPartsForWires) return null;
  const average = middleOf(evenly(parts, mostAveraged).map((p) => p.image));
  const scene = {
    body: lot.frame.body,
    die: medianRectangle(dies),
    metalLevel: bodyLevels(average, lot.frame.body).between,
  };
  return compareWires(
    parts,
    average,
    scene,
    median(own.map((i) => (lot.items[i] as PlacedItem).picture.openNoise)),
  );
}

/** A part's die in the frame, its length along the frame's longer side. */
function dieInFrame({ aligned }: PlacedItem, die: OrientedRectangle | null): OrientedRectangle | null {
  if (!die) return null;
  const toFrame = invertMap(aligned.map);
  const c = Math.cos(die.angleRad);
  const s = Math.sin(die.angleRad);
  const scale = Math.sqrt(Math.abs(toFrame.a * toFrame.e - toFrame.b * toFrame.d));
  let angle = Math.atan2(toFrame.d * c + toFrame.e * s, toFrame.a * c + toFrame.b * s);
  let [length, width] = [scale * die.lengthPx, scale * die.widthPx];
  if (Math.abs(Math.sin(angle)) > Math.SQRT1_2) {
    [length, width] = [width, length];
    angle += Math.PI / 2;
  }
  return {
    centrePx: applyMap(toFrame, die.centrePx),
    angleRad: Math.atan(Math.tan(angle)),
    lengthPx: length,
    widthPx: width,
  };
}

function wiresSeen(wires: readonly PartWire[]): Measured {
  const seen = wires.filter((w) => w.state === "seen" || w.state === "elsewhere").length;
  const open = wires.filter((w) => w.state === "unclear" || w.state === "not-assessable").length;
  if (open > 0.5 * wires.length) return notMeasured("1", "not-visible");
  const note = open ? `${open} more could not be judged` : "wires seen, counted";
  return { value: seen, U: open, k: 2, unit: "1", note };
}

function wireCall(wire: PartWire, { leads }: ComparedWires, item: PlacedItem): LotCall[] {
  const where = `lead ${wire.lead} of ${leads}, counted clockwise from the top left as aligned`;
  const noise = `contrast-to-noise ${wire.contrastToNoise.toFixed(0)} along it`;
  const share = Math.max(0, Math.round(100 * wire.share));
  const boxPx = boxBeside([wire.fromPx, wire.toPx], item);
  switch (wire.state) {
    case "absent":
      return [
        {
          kind: "wire-absent",
          boxPx,
          says: `no wire at ${where}: ${share} % of what its group shows there (${noise})`,
        },
      ];
    case "broken":
      return [
        {
          kind: "wire-broken",
          boxPx,
          says: `the wire at ${where} is interrupted over a quarter of its length or more (${noise})`,
        },
      ];
    case "elsewhere":
      return [
        {
          kind: "wire-elsewhere",
          boxPx,
          says: `the wire at ${where} runs to another place than in its group (${noise})`,
        },
      ];
    default:
      return [];
  }
}

/** Room around a wire's ends, frame px. */
const marginPx = 6;

/** The upright box around points of the frame, in the part's picture. */
function boxBeside(points: readonly PointPx[], item: PlacedItem): BoxPx {
  const map = toPictureMap(item);
  const corners = points.flatMap(([x, y]) =>
    [-marginPx, marginPx].flatMap((u) => [-marginPx, marginPx].map((v) => applyMap(map, [x + u, y + v]))),
  );
  return boxInPicture(corners, item);
}

/** What was compared of the wires, and whether one missing wire would have been noticed. */
function describe(found: readonly ComparedWires[]): LotCompared {
  if (!found.length)
    return notCompared("fewer than five parts of one construction with a die: too few to know its wires");
  const wires = found.flatMap((f) => f.parts.flat());
  if (!wires.length)
    return notCompared(
      "no bond wire stands out from what lies around it: thin, aluminium or copper wires may not show with this technique",
    );
  const judged = wires.filter((w) => w.state !== "unclear" && w.state !== "not-assessable");
  const noise = median(wires.map((w) => w.contrastToNoise)).toFixed(0);
  const bonded = found.map((f) => `${f.bonded.length} of ${f.leads}`).join(", ");
  const because = `wires from ${bonded} inner lead ends, contrast-to-noise ${noise} along a wire; ${judged.length} of ${wires.length} judged`;
  if (judged.length <= 0.5 * wires.length) return notCompared(because);
  return {
    characteristic: "wiresSeen",
    assessable: true,
    because,
    smallestDetectable: { value: 1, U: 0, k: 2, unit: "1", note: "one wire absent, broken or elsewhere" },
  };
}

function notCompared(because: string): LotCompared {
  return {
    characteristic: "wiresSeen",
    assessable: false,
    because,
    smallestDetectable: notMeasured("1", "not-visible"),
  };
}
