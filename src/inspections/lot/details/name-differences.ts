import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";
import type { PlaceCall } from "../calling/call-differences.ts";
import type { LotCall } from "../result.ts";
import type { FrameFeatures } from "./frame-features.ts";
import { nameOfFrame } from "./frame-features.ts";
import type { GroupScene } from "./group-scenes.ts";

/** A group's average with what it shows of its lead frame. */
export interface KnownFrame {
  readonly group: GroupScene;
  readonly features: FrameFeatures;
}

/**
 * Says of a nameless difference what it is, as far as that can be seen: a piece or an opening of the lead frame, a
 * dense particle, a void.
 *
 * @param own the part's group
 * @param largest the largest group
 */
export function nameDifference(
  place: PlaceCall,
  own: KnownFrame | null,
  largest: KnownFrame | null,
  pad: OrientedRectangle | null,
): LotCall {
  const { call, sign, framePx, than } = place;
  const known = than === "its group" ? own : largest;
  const frame = known && framePx && nameOfFrame(known.group, known.features, pad, place, framePx, than);
  if (frame) return { ...call, kind: "lead-frame", says: `${frame}: ${call.says}` };
  if (call.kind === "foreign" && sign > 0) return { ...call, says: `dense particle: ${call.says}` };
  if (call.kind === "other" && sign < 0)
    return { ...call, says: `matter missing, such as a void: ${call.says}` };
  return call;
}
