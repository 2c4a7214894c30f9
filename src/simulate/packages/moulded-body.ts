import type { Feature } from "../feature.ts";
import { sheet } from "../feature.ts";
import { disc, rectangle } from "../outline.ts";

/** Steps in which a sloping wall is drawn; with half a step at both ends it leaves the slope by 1/16 at most. */
const WALL_STEPS = 8;

/**
 * A moulded body: `length` x `width` is the outer outline, at the foot of its walls, which slope inwards by
 * `draftMm` (0: sawn). A dimple marks pin 1 (bottom left).
 */
export function mouldedBody(length: number, width: number, thicknessMm: number, draftMm: number): Feature[] {
  const steps = draftMm > 0 ? WALL_STEPS : 0;
  const features: Feature[] = [];
  for (let k = 0; k <= steps; k++) {
    const share = steps === 0 ? 1 : (k === 0 || k === steps ? 0.5 : 1) / steps;
    const inset = steps === 0 ? 0 : (draftMm * k) / steps;
    features.push(
      sheet("mould", share * thicknessMm, thicknessMm / 2, [
        rectangle([0, 0], length - 2 * inset, width - 2 * inset),
      ]),
    );
  }
  const r = Math.min(0.4, 0.09 * Math.min(length, width));
  features.push(
    sheet("mould", -0.06 * thicknessMm, thicknessMm, [
      disc([-length / 2 + 2 * r + draftMm, width / 2 - 2 * r - draftMm], r),
    ]),
  );
  return features;
}
