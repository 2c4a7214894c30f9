import type { Feature } from "../feature.ts";
import { sheet } from "../feature.ts";
import { disc, rectangle } from "../outline.ts";

/**
 * A moulded body: its walls slope by `draftMm`, and `length` x `width` is the size at half thickness,
 * where the attenuation of the body is half. A dimple marks pin 1 (bottom left).
 */
export function mouldedBody(length: number, width: number, thicknessMm: number, draftMm: number): Feature[] {
  const layers = draftMm > 0 ? 8 : 1;
  const features: Feature[] = [];
  for (let k = 0; k < layers; k++) {
    const inset = draftMm * ((k + 0.5) / layers - 0.5);
    features.push(
      sheet("mould", thicknessMm / layers, thicknessMm / 2, [
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
