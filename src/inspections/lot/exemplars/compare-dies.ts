import { median } from "../../../numeric/order.ts";
import { growRectangle } from "../../../numeric/oriented-rectangle.ts";
import { measured, notMeasured } from "../../../units/measured.ts";
import type { GroupScene } from "../details/group-scenes.ts";
import type { PartMeasures } from "../measuring/measure-in-frame.ts";
import { levelInside } from "../measuring/measure-part.ts";
import type { Found } from "./found.ts";
import type { MeasuredExemplar } from "./measured-exemplar.ts";

/** Steps of a die that stand out, in noise of one pixel. */
const visibleStep = 5;
/** How certain a die that is there or not makes a difference, in limits. */
const presenceTimes = 10;
/** A step below this share of the die's is none. */
const goneShare = 0.35;

/**
 * Whether a die is there in one and not in the other. One whose outline is not found in the exemplar is there when its
 * step over the metal is; how large it is stays unknown.
 *
 * @param group measurements of the group's parts
 * @param scene how they look; null when not known
 */
export function compareDies(
  group: readonly PartMeasures[],
  scene: GroupScene | null,
  { measures, look, item }: MeasuredExemplar,
): Found | null {
  const withDie = group.filter((p) => p.die).length;
  const inGroup = withDie > 0.5 * group.length;
  if (measures.die && inGroup) return presence(true, "a die is seen in both", 0);
  if (measures.die) {
    return presence(true, `a die is seen in the exemplar and in ${withDie} of ${group.length} parts`, -1);
  }
  if (!inGroup || !scene) return null;
  const steps = group.flatMap((p) => p.dieAttenuation ?? []);
  const gain = measures.inside.levels.mould / Math.max(0.01, median(group.map((p) => p.inside.levels.mould)));
  const expected = steps.length ? gain * median(steps) : 0;
  const { die } = scene.scene;
  const level = levelInside(look.image, growRectangle(die, -0.15 * die.widthPx));
  const hidden = "the die does not stand out in the exemplar";
  if (level === null || Math.abs(expected) < visibleStep * item.picture.openNoise)
    return presence(false, hidden, 0);
  const gone = (level - measures.inside.levels.metal) / expected < goneShare;
  return gone ? presence(true, "a die is seen in the group and none in the exemplar", 1) : null;
}

function presence(assessable: boolean, because: string, by: number): Found {
  const smallestDetectable = notMeasured("1", "not-assessed");
  return {
    compared: { characteristic: "diePresence", assessable, because, smallestDetectable },
    by: measured(by, 0, "1"),
    times: by === 0 ? 0 : presenceTimes,
  };
}
