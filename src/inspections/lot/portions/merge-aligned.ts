import { composeMaps } from "../../../align/similarity.ts";
import type { Image } from "../../../numeric/image.ts";
import { warpAffine } from "../../../numeric/warp.ts";
import { groupName } from "../grouping/judge-groups.ts";
import type { LotAligned } from "../result.ts";
import type { CornerOrder } from "./corner-order.ts";
import { boxToBox } from "./corner-order.ts";

/** Pictures of one portion in its own frame. */
export interface PortionAligned {
  readonly aligned: LotAligned;
  /** Construction of each of its groups. */
  readonly constructionOf: readonly number[];
  /** For each corner of the first portion's frame, the corner of this one's. */
  readonly corners: CornerOrder;
}

/**
 * What is kept of a portion's pictures: those of some parts, drawn, so that nothing else of the portion is held.
 *
 * @param keep ids of parts
 */
export function keptPictures(aligned: LotAligned, keep: ReadonlySet<string>): LotAligned {
  return {
    ...aligned,
    parts: aligned.parts
      .filter(({ id }) => keep.has(id))
      .map(({ id, toPicture, attenuation, difference }) => ({ id, toPicture, attenuation, difference })),
    exemplars: aligned.exemplars.map(({ id, group, attenuation, difference }) => ({
      id,
      group,
      attenuation,
      difference,
    })),
  };
}

/**
 * Pictures of all portions in the first one's frame, for reading only. A construction's average is that of the first
 * portion that holds it; exemplars are shown as they lie on the constructions of the first portion.
 *
 * @param order constructions as they are named
 */
export function mergeAligned(portions: readonly PortionAligned[], order: readonly number[]): LotAligned {
  const drawn = portions.filter(({ aligned }) => aligned.width > 0);
  const [first] = drawn;
  if (!first) return (portions[0] as PortionAligned).aligned;
  const { width, height, bodyBoxPx } = first.aligned;
  const onto = drawn.map((portion) => {
    const map = boxToBox(bodyBoxPx, portion.aligned.bodyBoxPx, portion.corners);
    const draw = (image: Image) => (portion === first ? image : warpAffine(image, map, width, height));
    return { ...portion, map, draw };
  });
  const nameIn = ({ constructionOf }: PortionAligned, group: string) => {
    const at = constructionOf.findIndex((_, g) => groupName(g) === group);
    return groupName(order.indexOf(constructionOf[at] as number));
  };
  return {
    width,
    height,
    bodyBoxPx,
    parts: onto.flatMap((portion) =>
      portion.aligned.parts.map(({ id, attenuation, difference, toPicture }) => ({
        id,
        attenuation: portion.draw(attenuation),
        difference: withoutGaps(portion.draw(difference)),
        toPicture: portion === onto[0] ? toPicture : composeMaps(toPicture, portion.map),
      })),
    ),
    averages: order.flatMap((construction, k) => {
      const portion = onto.find(({ constructionOf }) => constructionOf.includes(construction));
      const own = portion?.constructionOf.indexOf(construction) ?? -1;
      const average = portion?.aligned.averages.find(({ group }) => group === groupName(own));
      return portion && average
        ? [{ group: groupName(k), attenuation: portion.draw(average.attenuation) }]
        : [];
    }),
    exemplars: first.aligned.exemplars.map((one) => ({ ...one, group: nameIn(first, one.group) })),
  };
}

/** Outside its picture nothing differs. */
function withoutGaps(image: Image): Image {
  const data = image.data.map((v) => (Number.isNaN(v) ? 0 : v));
  return { ...image, data };
}
