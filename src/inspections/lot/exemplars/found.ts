import { notMeasured } from "../../../units/measured.ts";
import type { LotCompared, LotReason } from "../result.ts";

/** One thing in which a group and an exemplar were compared. */
export interface Found {
  readonly compared: LotCompared;
  readonly by: LotReason["by"];
  /** The difference in units of the least that counts. */
  readonly times: number;
}

/** Something that one of the two does not show. */
export function notSeen(characteristic: string, unit: LotReason["by"]["unit"], because: string): Found {
  const none = notMeasured(unit, "not-visible");
  return {
    compared: { characteristic, assessable: false, because, smallestDetectable: none },
    by: none,
    times: 0,
  };
}
