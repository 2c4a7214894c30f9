import type { Image } from "../../../numeric/image.ts";
import { median } from "../../../numeric/order.ts";
import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";
import { medianRectangle } from "../../../numeric/oriented-rectangle.ts";
import type { PlacedItem } from "../lot-item.ts";
import type { LotWork } from "../part-tasks.ts";
import type { PlacedLot } from "../placing/place-lot.ts";
import type { BodyLevels } from "./inside-body.ts";
import type { FirstLook, LotConsensus, PartMeasures } from "./measure-in-frame.ts";
import { settleDies } from "./settle-dies.ts";
import { settleLevels } from "./settle-levels.ts";

export type { PartMeasures } from "./measure-in-frame.ts";

export interface MeasuredLot {
  readonly parts: readonly PartMeasures[];
  readonly consensus: LotConsensus;
  /** Each part's attenuation in the frame; NaN outside its patch. */
  readonly images: readonly Image[];
}

/** A lot as it was measured before some of its parts were turned. */
export interface MeasuredBefore {
  readonly lot: PlacedLot;
  readonly measured: MeasuredLot;
}

/**
 * Measures every part. Each is looked at on its own first; then the die is also sought where the lot has it,
 * and the place on which more of its outline agrees is taken.
 *
 * @param before the same lot before some of its parts were turned: the others are not looked at again
 */
export async function measureLot(
  lot: PlacedLot,
  work: LotWork,
  onPart: (done: number) => void,
  before: MeasuredBefore | null = null,
): Promise<MeasuredLot> {
  const { frame, items } = lot;
  const looks = withUsualLevels(lot, withClipsOfMost(await firstLooks(lot, work, before)));
  const consensus: LotConsensus = {
    pad: middleRectangle(looks.map((l) => l.inside.pad)),
    die: middleRectangle(looks.map((l) => l.inside.die)),
    clip: middleRectangle(looks.map((l) => l.clip?.rectangle ?? null)),
  };
  const parts = await work.each(
    "measure",
    { frame, consensus },
    items.map((item, i) => ({ ...inFrame(item), ...(looks[i] as FirstLook) })),
    onPart,
  );
  return { parts: settleDies(items, withoutFaintDies(parts)), consensus, images: looks.map((l) => l.image) };
}

/** A clip is its construction's: what fewer than half of the parts show is a lead that runs on under the die. */
function withClipsOfMost(looks: readonly FirstLook[]): readonly FirstLook[] {
  if (looks.filter((look) => look.clip).length >= 0.5 * looks.length) return looks;
  return looks.map((look) => (look.clip ? { ...look, inside: look.asSeen, clip: null } : look));
}

/** Crops of a larger picture bring surroundings along, which have levels of their own. */
function withUsualLevels({ frame, tones }: PlacedLot, looks: readonly FirstLook[]): readonly FirstLook[] {
  if (frame.wholeField) return looks;
  const levels = settleLevels(
    looks.map(({ inside }) => inside.levels),
    tones,
  );
  return looks.map((look, i) => ({ ...look, inside: { ...look.inside, levels: levels[i] as BodyLevels } }));
}

async function firstLooks(
  { frame, items }: PlacedLot,
  work: LotWork,
  before: MeasuredBefore | null,
): Promise<FirstLook[]> {
  const known = items.map((item, i): FirstLook | null => {
    if (before?.lot.frame !== frame || before.lot.items[i] !== item) return null;
    const { parts, images } = before.measured;
    const { inside, clip } = parts[i] as PartMeasures;
    return { image: images[i] as Image, inside, asSeen: inside, clip };
  });
  const fresh = items.filter((_, i) => !known[i]);
  const looked = (await work.each("look", frame, fresh.map(inFrame))).values();
  return known.map((look) => look ?? (looked.next().value as FirstLook));
}

/** A part as those who look at and measure it want it. */
export function inFrame({ patch, aligned, picture }: PlacedItem) {
  return { patch, map: aligned.map, openNoise: picture.openNoise };
}

/** Outlines on which the attenuation step is far below the lot's own are attach or stain without a die on it. */
function withoutFaintDies(parts: readonly PartMeasures[]): PartMeasures[] {
  const steps = parts.flatMap((p) => (p.die && p.dieAttenuation !== null ? [p.dieAttenuation] : []));
  if (steps.length < 4) return [...parts];
  const typical = median(steps);
  return parts.map((p) =>
    p.die && p.dieAttenuation !== null && p.dieAttenuation < 0.45 * typical ? { ...p, die: null } : p,
  );
}

/** The middle rectangle, when at least half of the parts show one. */
function middleRectangle(rects: readonly (OrientedRectangle | null)[]): OrientedRectangle | null {
  const seen = rects.filter((r): r is OrientedRectangle => r !== null);
  if (!seen.length || seen.length < 0.5 * rects.length) return null;
  return medianRectangle(seen);
}
