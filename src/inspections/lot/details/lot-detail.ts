import type { LotCall, LotCompared } from "../result.ts";

/** What one kind of detail says of a lot. */
export interface LotDetail {
  /** By part. */
  readonly calls: readonly (readonly LotCall[])[];
  readonly compared: readonly LotCompared[];
}
