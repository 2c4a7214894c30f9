import { typedScale } from "../../../radiograph/scale.ts";
import { notAssessable } from "../aside-part.ts";
import type { GatheredLot, LotSource } from "../finding/gather-parts.ts";
import { gatherParts } from "../finding/gather-parts.ts";
import type { LotItem, PictureFacts } from "../lot-item.ts";
import type { LotOptions } from "../options.ts";
import type { LotPart } from "../result.ts";

/** Parts of known origin that a lot is to be compared with. */
export interface LotExemplars {
  /** Their pictures, one part or more in each. */
  readonly sources: readonly LotSource[];
  /** Whether the parts of an exemplar's picture are known to carry another date or lot code than a part of the lot. */
  readonly ofOtherCode?: (exemplarPicture: string, part: Pick<LotPart, "id" | "picture">) => boolean;
}

/** The exemplars of a lot, found in their pictures. */
export interface GatheredExemplars {
  /** Whether any were asked for. */
  readonly given: boolean;
  readonly usable: readonly LotItem[];
  readonly ofOtherCode: NonNullable<LotExemplars["ofOtherCode"]>;
  /** Found but not to be compared. */
  readonly aside: readonly LotItem[];
  readonly pictures: readonly PictureFacts[];
  readonly unreadable: GatheredLot["unreadable"];
  readonly empty: GatheredLot["empty"];
}

/**
 * Finds the parts of every exemplar's picture. Each picture stands alone: exemplars may come from other days, at other
 * magnifications and of other polarity.
 */
export async function gatherExemplars(
  { sources, ofOtherCode = () => false }: LotExemplars,
  { exemplarScaleUmPerPx }: LotOptions,
): Promise<GatheredExemplars> {
  const gathered: GatheredLot[] = [];
  for (const source of sources) gathered.push(await gatherParts([source], () => {}));
  const scaled = (facts: PictureFacts): PictureFacts =>
    exemplarScaleUmPerPx == null ? facts : { ...facts, scale: typedScale(exemplarScaleUmPerPx) };
  const items = gathered.flatMap((g) => g.items).map((item) => ({ ...item, picture: scaled(item.picture) }));
  return {
    given: sources.length > 0,
    ofOtherCode,
    usable: items.filter((item) => notAssessable(item) === null),
    aside: items.filter((item) => notAssessable(item) !== null),
    pictures: gathered.flatMap((g) => g.pictures).map(scaled),
    unreadable: gathered.flatMap((g) => g.unreadable),
    empty: gathered.flatMap((g) =>
      g.empty.map(({ picture }) => ({ picture, because: "no part was found in this exemplar's picture" })),
    ),
  };
}
