import { evenly } from "../../../numeric/evenly.ts";
import type { BoxPx, Image, Mask } from "../../../numeric/image.ts";
import { createMask } from "../../../numeric/image.ts";
import { growRectangle } from "../../../numeric/oriented-rectangle.ts";
import { reduceBy } from "../../../numeric/resample.ts";
import type { Scale } from "../../../radiograph/radiograph.ts";
import { toMillimetres } from "../../../radiograph/scale.ts";
import { measured as measuredValue, notMeasured } from "../../../units/measured.ts";
import type { KnownWires } from "../../wires/judge-part.ts";
import { distanceTo, metalOverMould } from "../../wires/lead-metal.ts";
import { lengthText } from "../calling/length-text.ts";
import { boxThrough } from "../calling/picture-box.ts";
import type { PlacedItem } from "../lot-item.ts";
import { toPictureMap } from "../measuring/describe-part.ts";
import type { MeasuredLot } from "../measuring/measure-lot.ts";
import { toned } from "../placing/match-tone.ts";
import type { PlacedLot } from "../placing/place-lot.ts";
import { middleOf } from "../placing/place-lot.ts";
import type { LotCall, LotCompared } from "../result.ts";
import type { GroupScene } from "./group-scenes.ts";
import type { LotDetail } from "./lot-detail.ts";
import type { Window } from "./quiet-field.ts";
import { bodyWindow, cropped, quietField } from "./quiet-field.ts";
import type { Speck, SpeckScale } from "./specks.ts";
import { searchSpecks } from "./specks.ts";
import { specksInPoses } from "./specks-in-poses.ts";

/** A group of at least this many parts says what belongs in each of them. */
const leastGroup = 4;
const mostAveraged = 15;
/** Calls on one part; what shows more is no matter of specks. */
const mostCalls = 3;
const fine: SpeckScale = { ownPx: 1, aroundPx: 12, strayPx: 3, leastWidthPx: 2, mostOffGround: [0.2, 0.2] };
/** At a quarter of the size: voids in the mould are large and faint. */
const coarseBy = 4;
const coarse: SpeckScale = { ownPx: 1, aroundPx: 8, strayPx: 1, leastWidthPx: 1, mostOffGround: [0.5, 0.8] };

/** Means below these shares of metal over mould are how thickness and tone vary, not matter. */
const leastShareFine = 0.05;
const leastShareCoarse = 0.02;

interface GroupSearch {
  readonly calls: readonly (readonly LotCall[])[];
  readonly groundShare: number;
  /** Side of a square as dense over its surroundings as the lead frame over mould that would be called, frame px. */
  readonly smallestPx: number;
  /** Faintest matter, over a square of 3 coarse px, that would be called: attenuation and its side. */
  readonly faintest: number;
}

/**
 * Small matter that one part has inside its body and its group has not: dense particles, and lighter places such as
 * voids in the mould. Looked for where the group's average is even; at edges and wires only what the comparison of
 * outlines finds is called.
 *
 * @param wires by group, what is known of its wires
 * @param elsewhere parts one of whose wires runs to another place
 * @see docs/methods/details.md
 */
export function foreignMatter(
  lot: PlacedLot,
  measured: MeasuredLot,
  scenes: readonly (GroupScene | null)[],
  wires: readonly (KnownWires | null)[],
  elsewhere: ReadonlySet<number>,
  scale: Scale,
): LotDetail {
  const calls: (readonly LotCall[])[] = lot.items.map(() => []);
  const searches = scenes.flatMap((group, g) => {
    if (!group || group.members.length < leastGroup) return [];
    const found = searchGroup(lot, measured, group, wires[g] ?? null, scale, elsewhere);
    group.members.forEach((i, k) => {
      calls[i] = found.calls[k] as readonly LotCall[];
    });
    return [found];
  });
  return { calls, compared: describe(lot, searches, scale) };
}

function searchGroup(
  lot: PlacedLot,
  measured: MeasuredLot,
  group: GroupScene,
  wires: KnownWires | null,
  scale: Scale,
  elsewhere: ReadonlySet<number>,
): GroupSearch {
  const window = bodyWindow(group.scene, group.average);
  const images = group.members.map((i) =>
    toned(cropped(measured.images[i] as Image, window), lot.tones[i] as PlacedLot["tones"][number]),
  );
  const average = middleOf(evenly(images, mostAveraged));
  const ground = quietField(average, window, group, wires);
  const over = metalOverMould(group.average, group.scene);
  const residuals = images.map((image) => lessAverage(image, average));
  const atFine = searchSpecks(residuals, ground, fine, group.openNoise, leastShareFine * over, over);
  const atCoarse = searchSpecks(
    residuals.map((residual) => reduceBy(residual, coarseBy)),
    reduced(ground),
    coarse,
    group.openNoise / coarseBy,
    leastShareCoarse * over,
    over,
  );
  const specksIn = (residual: Image) =>
    atBothSizes(atFine.specksIn(residual), atCoarse.specksIn(reduceBy(residual, coarseBy)));
  return {
    calls: group.members.map((i, k) =>
      partCalls(
        specksInPoses(
          lot,
          i,
          atBothSizes(atFine.specks[k] as readonly Speck[], atCoarse.specks[k] as readonly Speck[]),
          window,
          ground,
          (image) => specksIn(lessAverage(image, average)),
        ),
        lot.items[i] as PlacedItem,
        window,
        group,
        scale,
        !group.dies[k] || elsewhere.has(i),
      ),
    ),
    groundShare: ground.data.reduce((sum, v) => sum + v, 0) / Math.max(1, ground.data.length),
    smallestPx: Math.max(2, Math.sqrt((atFine.leastBy * (2 * fine.ownPx + 1) ** 2) / Math.max(1e-6, over))),
    faintest: atCoarse.leastBy,
  };
}

/** Specks of one part, boxes in px of the window. */
function atBothSizes(atFine: readonly Speck[], atCoarse: readonly Speck[]): readonly Speck[] {
  return [...atFine, ...atCoarse.map((speck) => ({ ...speck, boxPx: enlarged(speck.boxPx) }))];
}

function lessAverage({ width, height, data }: Image, average: Image): Image {
  const out = new Float32Array(data.length);
  for (let i = 0; i < out.length; i++) {
    const v = (data[i] as number) - (average.data[i] as number);
    out[i] = Number.isNaN(v) ? 0 : v;
  }
  return { width, height, data: out };
}

/** Ground at the coarse size: where all of a pixel is ground. */
function reduced({ width, height, data }: Mask): Mask {
  const share = reduceBy({ width, height, data: Float32Array.from(data) }, coarseBy);
  const out = createMask(share.width, share.height);
  for (let i = 0; i < out.data.length; i++) out.data[i] = (share.data[i] as number) > 0.99 ? 1 : 0;
  return out;
}

function enlarged([x, y, width, height]: BoxPx): BoxPx {
  return [x * coarseBy, y * coarseBy, width * coarseBy, height * coarseBy];
}

function partCalls(
  specks: readonly Speck[],
  item: PlacedItem,
  window: Window,
  { scene }: GroupScene,
  scale: Scale,
  dieDiffers: boolean,
): LotCall[] {
  const kept: { speck: Speck; boxPx: BoxPx }[] = [];
  const near = growRectangle(scene.die, 0.3 * Math.min(scene.die.lengthPx, scene.die.widthPx));
  for (const speck of [...specks].sort((p, q) => q.over - p.over)) {
    if (speck.over < 1) continue;
    const [x, y, width, height] = speck.boxPx;
    const boxPx: BoxPx = [x + window.x0, y + window.y0, width, height];
    const centre = [boxPx[0] + (width - 1) / 2, boxPx[1] + (height - 1) / 2] as const;
    // Without its die, or with a wire bonded elsewhere, what differs there is that.
    if (dieDiffers && distanceTo(near, centre) === 0) continue;
    // What is lighter under a die is a void of its attach, which is judged by a rule of its own.
    if (speck.sign < 0 && distanceTo(near, centre) === 0) continue;
    if (kept.some((other) => overlap(other.boxPx, boxPx))) continue;
    kept.push({ speck, boxPx });
  }
  return kept.slice(0, mostCalls).map(({ speck, boxPx }): LotCall => {
    const inPicture = boxThrough(toPictureMap(item), boxPx, item);
    const size = lengthText(Math.max(inPicture[2], inPicture[3]), scale);
    const by = Math.abs(speck.by).toFixed(Math.abs(speck.by) < 0.1 ? 3 : 2);
    return speck.sign > 0
      ? {
          kind: "foreign",
          boxPx: inPicture,
          says: `dense particle, ${size} on its longest side, where its group has none: ${by} denser in attenuation`,
        }
      : {
          kind: "other",
          boxPx: inPicture,
          says: `matter missing, such as a void, ${size} on its longest side: ${by} lighter than its group in attenuation`,
        };
  });
}

function overlap([x, y, w, h]: BoxPx, [u, v, p, q]: BoxPx): boolean {
  return x < u + p + 4 && u < x + w + 4 && y < v + q + 4 && v < y + h + 4;
}

function describe(lot: PlacedLot, searches: readonly GroupSearch[], scale: Scale): LotCompared[] {
  const unit = scale.umPerPx === null ? ("px" as const) : ("mm" as const);
  if (!searches.length) {
    const because = "fewer than four parts of one construction: what belongs in each is not known";
    return ["foreignMatter", "mouldVoids"].map((characteristic) => ({
      characteristic,
      assessable: false,
      because,
      smallestDetectable: notMeasured(unit, "too-few"),
    }));
  }
  const share = Math.round(100 * Math.min(...searches.map((s) => s.groundShare)));
  const by = lot.frame.reducedBy * lot.frame.patchReducedBy;
  const smallest = by * Math.max(...searches.map((s) => s.smallestPx));
  const faintest = Math.max(...searches.map((s) => s.faintest));
  const coarsePx = by * coarseBy * (2 * coarse.ownPx + 1);
  return [
    {
      characteristic: "foreignMatter",
      assessable: true,
      because: `each part against its group on the ${share} % of the body that is even; elsewhere as the outline. Smallest: side of a square as dense over its surroundings as the lead frame over mould`,
      smallestDetectable: toMillimetres(measuredValue(smallest, 0.3 * smallest, "px"), scale),
    },
    {
      characteristic: "mouldVoids",
      assessable: true,
      because: `as foreignMatter, lighter: from ${faintest.toFixed(4)} in attenuation over ${lengthText(coarsePx, scale)}`,
      smallestDetectable: toMillimetres(measuredValue(coarsePx, 0.3 * coarsePx, "px"), scale),
    },
  ];
}
