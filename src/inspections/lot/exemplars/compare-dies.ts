import type { Image } from "../../../numeric/image.ts";
import { median } from "../../../numeric/order.ts";
import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";
import { growRectangle, pointInRectangle } from "../../../numeric/oriented-rectangle.ts";
import { measured, notMeasured } from "../../../units/measured.ts";
import type { GroupScene } from "../details/group-scenes.ts";
import type { PartMeasures } from "../measure-in-frame.ts";
import { levelInside } from "../measure-part.ts";
import type { Found } from "./found.ts";
import type { MeasuredExemplar } from "./measured-exemplar.ts";

/** Steps of a die that stand out, in noise of one pixel. */
const visibleStep = 5;
/** How certain a die that is there or not makes a difference, in limits. */
const presenceTimes = 10;
/** A step below this share of the die's is none. */
const goneShare = 0.35;
/** A difference from every part of the group by this share of the step is clear. */
const clearShare = 0.2;
/** One within this share of it is the die's. */
const thereShare = 0.85;
/** Just inside and just outside a die's edge, in shares of its shorter side: clear of blur and of where dies stray. */
const rimShare = 0.07;

/**
 * Whether a die is there in one and not in the other; where the group's is and the exemplar's outline is not found,
 * whether the exemplar's ends where the group's does.
 *
 * @param group measurements of the group's parts
 * @param images those parts in the frame
 */
export function compareDies(
  group: readonly PartMeasures[],
  images: readonly Image[],
  scene: GroupScene | null,
  { measures, look, item }: MeasuredExemplar,
): Found[] {
  const withDie = group.filter((p) => p.die).length;
  const inGroup = withDie > 0.5 * group.length;
  if (measures.die && inGroup) return [presence(true, "a die is seen in both", 0)];
  if (measures.die) {
    return [presence(true, `a die is seen in the exemplar and in ${withDie} of ${group.length} parts`, -1)];
  }
  if (!inGroup || !scene) return [];
  const theirs = stepsAcross(scene.average, scene.scene.die);
  const own = stepsAcross(look.image, scene.scene.die);
  const gain = measures.inside.levels.mould / Math.max(0.01, median(group.map((p) => p.inside.levels.mould)));
  // The group's own average shows whether its rim is fit to tell.
  if (!theirs || !own || !isDieLevel(theirs.rim, theirs.middle)) return [];
  const expected = gain * theirs.middle;
  if (Math.abs(expected) < visibleStep * item.picture.openNoise) {
    return [presence(false, "the die does not stand out in the exemplar", 0)];
  }
  // What the group's own parts show there, fillets and stray dies among them, is no difference.
  const each = images.flatMap((image) => stepsAcross(image, scene.scene.die) ?? []);
  const least = (shares: readonly number[]) => Math.min(goneShare, Math.min(...shares) - clearShare);
  const steps = own.middle / expected > least(each.map((s) => s.middle / theirs.middle));
  const ends = steps && own.rim / own.middle < least(each.map((s) => s.rim / s.middle));
  if (steps && !ends && !isDieLevel(own.rim, own.middle)) return [];
  const elsewhere = !steps || ends;
  return [
    {
      compared: {
        characteristic: "dieOutline",
        assessable: true,
        because: "whether the exemplar has a die's edge where the group has it",
        smallestDetectable: measured(100 * 2 * rimShare, 100 * rimShare, "percent"),
      },
      // How much smaller or larger is not measured: its own outline was not found.
      by: elsewhere ? notMeasured("percent", "not-visible") : measured(0, 100 * rimShare, "percent"),
      times: elsewhere ? presenceTimes : 0,
    },
  ];
}

/** Whether the rim has the die's level: neither the pad's nor that of attach that runs up there. */
function isDieLevel(rim: number, middle: number): boolean {
  return Math.abs(rim / middle - 1) < 1 - thereShare;
}

function presence(assessable: boolean, because: string, by: number): Found {
  const smallestDetectable = notMeasured("1", "not-assessed");
  return {
    compared: { characteristic: "diePresence", assessable, because, smallestDetectable },
    by: measured(by, 0, "1"),
    times: by === 0 ? 0 : presenceTimes,
  };
}

/** Attenuation of a die over what lies just outside its edge, in its middle and along its rim. */
interface Steps {
  readonly middle: number;
  readonly rim: number;
}

function stepsAcross(image: Image, die: OrientedRectangle): Steps | null {
  const margin = rimShare * die.widthPx;
  const middle = levelInside(image, growRectangle(die, -0.2 * die.widthPx));
  const rim = levelAlong(image, growRectangle(die, -margin));
  const outside = levelAlong(image, growRectangle(die, margin));
  if (middle === null || rim === null || outside === null) return null;
  return { middle: middle - outside, rim: rim - outside };
}

/** Middle attenuation along a rectangle's sides. */
function levelAlong(image: Image, rect: OrientedRectangle): number | null {
  const values: number[] = [];
  for (let t = -0.45; t <= 0.45; t += 0.01) {
    for (const [u, v] of [
      [t, -0.5],
      [t, 0.5],
      [-0.5, t],
      [0.5, t],
    ] as const) {
      const [x, y] = pointInRectangle(rect, u, v);
      const value = image.data[Math.round(y) * image.width + Math.round(x)];
      if (value !== undefined && !Number.isNaN(value)) values.push(value);
    }
  }
  return values.length ? median(values) : null;
}
