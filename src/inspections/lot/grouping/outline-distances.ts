import type { Mask } from "../../../numeric/image.ts";
import type { PlacedItem } from "../lot-item.ts";
import { inPose } from "../placing/align-lot.ts";
import { lookInTone } from "../placing/look-in-tone.ts";
import type { PlacedLot } from "../placing/place-lot.ts";
import type { DistanceMatrix } from "./group-parts.ts";
import type { ComparablePart, ComparedPixels } from "./pair-difference.ts";
import { comparablePart, comparedPixels, pixelDifference } from "./pair-difference.ts";

/** Outlines of every two parts as they lie, body pixels selected by `where`. */
export function outlineDistances(lot: PlacedLot, where: Mask): DistanceMatrix {
  const n = lot.items.length;
  const values = new Float64Array(n * n);
  const pixels = lot.comparable.map((part) => comparedPixels(part, where));
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < i; j++) {
      values[i * n + j] = values[j * n + i] = pixelDifference(
        pixels[i] as ComparedPixels,
        pixels[j] as ComparedPixels,
        lot.tolerance,
      );
    }
  }
  return { size: n, values };
}

/** Pairs this many links apart are no pose away from each other: not tried. */
const hopelessLinks = 12;

/**
 * The same, where a part whose pose is ambiguous may lie in any of its equal poses: for pairs near or beyond `link` the
 * least distance over the poses of either part counts. Else what strays by chance to one side (a lid, a die) would
 * tell a part that lies the other way round from the rest.
 */
export function overEqualPoses(
  lot: PlacedLot,
  outline: DistanceMatrix,
  where: Mask,
  link: number,
): DistanceMatrix {
  const n = outline.size;
  const values = outline.values.slice();
  const poses = new Map<number, readonly ComparedPixels[]>();
  const pixels = lot.comparable.map((part) => comparedPixels(part, where));
  const otherPoses = (i: number) => {
    const known = poses.get(i);
    if (known) return known;
    const made = equalPoses(lot, lot.items[i] as PlacedItem).map((part) => comparedPixels(part, where));
    poses.set(i, made);
    return made;
  };
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < i; j++) {
      const asTheyLie = values[i * n + j] as number;
      if (asTheyLie < 0.5 * link || asTheyLie > hopelessLinks * link) continue;
      const [p, q] = [pixels[i] as ComparedPixels, pixels[j] as ComparedPixels];
      let least = asTheyLie;
      for (const other of otherPoses(i)) least = Math.min(least, pixelDifference(other, q, lot.tolerance));
      for (const other of otherPoses(j)) least = Math.min(least, pixelDifference(p, other, lot.tolerance));
      values[i * n + j] = values[j * n + i] = least;
    }
  }
  return { size: n, values };
}

function equalPoses(lot: PlacedLot, item: PlacedItem): ComparablePart[] {
  return item.aligned.alternatives.flatMap((alternative, k) => {
    if (!alternative.equal) return [];
    const other = { ...item, aligned: inPose(item.aligned, k) };
    const { image } = lookInTone(lot.frame, other, lot.by, lot.referenceSmall);
    return [comparablePart(image, lot.middle, lot.slackPx)];
  });
}
