import type { InspectedLot } from "../lot.ts";
import type { LotFindings } from "../result.ts";
import type { CornerOrder } from "./corner-order.ts";

/** One portion as inspected, without its patches. */
export interface InspectedPortion extends Omit<InspectedLot, "items" | "findings"> {
  readonly findings: LotFindings;
  /** Construction of each of its groups, by index of the group. */
  readonly constructionOf: readonly number[];
  /** The groups that were held to be the odd ones when its parts were described. */
  readonly odd: ReadonlySet<number>;
  /** For each corner of the first portion's frame, the corner of this one's. */
  readonly corners: CornerOrder;
}

/** A construction of the lot. */
export interface Construction {
  /** Ids of the parts that stand for it. */
  readonly typical: readonly string[];
  readonly size: number;
  /** Whether it could not be held against the largest construction, and so may be that one. */
  readonly open: boolean;
}
