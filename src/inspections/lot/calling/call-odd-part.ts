import { applyMap } from "../../../align/similarity.ts";
import type { BoxPx } from "../../../numeric/image.ts";
import { median } from "../../../numeric/order.ts";
import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";
import { rectangleCorners } from "../../../numeric/oriented-rectangle.ts";
import type { Scale } from "../../../radiograph/radiograph.ts";
import type { ComparedLot } from "../grouping/compare-lot.ts";
import type { LinkedCharacteristic } from "../grouping/group-parts.ts";
import type { PlacedItem } from "../lot-item.ts";
import type { MeasuredLot } from "../measuring/measure-lot.ts";
import type { PlacedLot } from "../placing/place-lot.ts";
import type { LotCall } from "../result.ts";
import { lengthText } from "./length-text.ts";

/** What tells a part of an odd group from the largest group, by what was measured. */
export interface OddPart {
  readonly calls: readonly LotCall[];
  /** Whether its die is of another size: what differs around the die's edges is said already. */
  readonly dieDiffers: boolean;
  /** Whether anything but the die differs: the outline, the pad, the body, the leads, the frame's metal. */
  readonly frameDiffers: boolean;
}

/** Compares a part's measured sizes with the middle of the largest group's, each with its linking difference. */
export function callOddPart(
  lot: PlacedLot,
  measured: MeasuredLot,
  compared: ComparedLot,
  index: number,
  scale: Scale,
): OddPart {
  const item = lot.items[index] as PlacedItem;
  const { die, pad } = measured.parts[index] as MeasuredLot["parts"][number];
  const largest = compared.groupOf.flatMap((g, i) => (g === 0 ? [i] : []));
  const beyond = new Map<string, number>();
  for (const c of compared.characteristics) {
    const by = differenceBeyondLink(c, index, largest);
    if (by !== null) beyond.set(c.name, by);
  }
  const calls: LotCall[] = [];
  const ofDie = sizesText("die", beyond, scale);
  const ofPad = sizesText("pad", beyond, scale);
  const metal = beyond.get("frameToMould");
  if (ofDie && die) calls.push({ kind: "die", boxPx: boxIn(item, die.rectangle), says: ofDie });
  if (ofPad && pad) calls.push({ kind: "lead-frame", boxPx: boxIn(item, pad.rectangle), says: ofPad });
  if (metal !== undefined && pad) {
    const own = characteristicOf(compared, "frameToMould", index);
    const percent = ((100 * Math.abs(metal)) / (own - metal)).toFixed(0);
    const says = `frame over its mould ${percent} % ${metal > 0 ? "denser" : "lighter"} than the largest group's: another metal or thickness`;
    calls.push({ kind: "lead-frame", boxPx: boxIn(item, pad.rectangle), says });
  }
  const others = [...beyond.keys()].filter((name) => !name.startsWith("die"));
  const outline = largest.map((j) => compared.outline.values[index * compared.outline.size + j] as number);
  return {
    calls,
    dieDiffers: ofDie !== null,
    frameDiffers: others.length > 0 || median(outline) > compared.outlineLink,
  };
}

function characteristicOf({ characteristics }: ComparedLot, name: string, index: number): number {
  return characteristics.find((c) => c.name === name)?.values[index] ?? Number.NaN;
}

/** By how much the part's value differs from the middle of the others', where that is more than the link; else null. */
function differenceBeyondLink(
  c: LinkedCharacteristic,
  index: number,
  others: readonly number[],
): number | null {
  const own = c.values[index] ?? null;
  const seen = others.flatMap((j) => c.values[j] ?? []);
  if (own === null || c.link === null || !seen.length) return null;
  const by = own - median(seen);
  return Math.abs(by) > c.link ? by : null;
}

function sizesText(of: "die" | "pad", beyond: ReadonlyMap<string, number>, scale: Scale): string | null {
  const length = beyond.get(`${of}Length`);
  const width = beyond.get(`${of}Width`);
  const said = [
    length === undefined
      ? []
      : [`${length > 0 ? "longer" : "shorter"} by ${lengthText(Math.abs(length), scale)}`],
    width === undefined
      ? []
      : [`${width > 0 ? "wider" : "narrower"} by ${lengthText(Math.abs(width), scale)}`],
  ].flat();
  return said.length ? `${of} ${said.join(" and ")} than in the largest group` : null;
}

/** Upright box around a rectangle of the patch, in the part's picture. */
function boxIn({ patch, picture }: PlacedItem, rect: OrientedRectangle): BoxPx {
  const corners = rectangleCorners(rect).map((p) => applyMap(patch.toPicture, p));
  const within = (v: number, most: number) => Math.min(Math.max(0, v), most);
  const xs = corners.map(([x]) => within(x, picture.widthPx));
  const ys = corners.map(([, y]) => within(y, picture.heightPx));
  const [left, top] = [Math.min(...xs), Math.min(...ys)];
  return [left, top, Math.max(...xs) - left, Math.max(...ys) - top];
}
