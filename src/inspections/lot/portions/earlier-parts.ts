import type { LotItem } from "../lot-item.ts";
import type { ExemplarFindings } from "../result.ts";

/** What a portion of a lot is told of the portions before it. */
export interface EarlierParts {
  /** Typical parts of the constructions found so far. */
  readonly items: readonly LotItem[];
  /**
   * Which groups of the portion are the odd ones of the whole lot.
   *
   * @param groupOf group of each compared part
   * @param before how the groups lie to `items`
   * @param exemplars how they lie to the parts of known origin
   */
  readonly odd: (
    groupOf: readonly number[],
    before: readonly ExemplarFindings[],
    exemplars: readonly ExemplarFindings[],
  ) => ReadonlySet<number>;
}
