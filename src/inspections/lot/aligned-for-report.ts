import type { Image } from "../../numeric/image.ts";
import { createImage } from "../../numeric/image.ts";
import type { CalledPart } from "./calling/call-differences.ts";
import type { ComparedLot } from "./grouping/compare-lot.ts";
import { groupAverage } from "./grouping/group-average.ts";
import { groupMembers } from "./grouping/group-parts.ts";
import { groupName } from "./grouping/judge-groups.ts";
import { toPictureMap } from "./measuring/describe-part.ts";
import type { LotFrame } from "./placing/align-lot.ts";
import type { PlacedLot } from "./placing/place-lot.ts";
import type { LotAligned } from "./result.ts";

export function alignedForReport(
  lot: PlacedLot,
  images: readonly Image[],
  compared: ComparedLot,
  called: readonly CalledPart[],
  exemplars: LotAligned["exemplars"],
): LotAligned {
  const { frame } = lot;
  const { centrePx, lengthPx, widthPx } = frame.body;
  return {
    width: frame.width,
    height: frame.height,
    bodyBoxPx: [centrePx[0] - lengthPx / 2, centrePx[1] - widthPx / 2, lengthPx, widthPx],
    parts: lot.items.map((item, i) => ({
      id: item.id,
      attenuation: images[i] as Image,
      toPicture: toPictureMap(item),
      // Drawn when it is looked at: without a report nobody does.
      get difference() {
        return frameImage((called[i] as CalledPart).excess, lot.by, frame);
      },
    })),
    averages: groupMembers(compared.groupOf).map((members, g) => {
      return { group: groupName(g), attenuation: groupAverage(images, members) };
    }),
    exemplars,
  };
}

/** A compare-size picture at frame size, each pixel repeated. */
export function frameImage(
  image: Image,
  by: number,
  { width, height }: Pick<LotFrame, "width" | "height">,
): Image {
  const out = createImage(width, height);
  for (let y = 0; y < height; y++) {
    const from = Math.min(image.height - 1, Math.floor(y / by)) * image.width;
    for (let x = 0; x < width; x++) {
      out.data[y * width + x] = image.data[from + Math.min(image.width - 1, Math.floor(x / by))] as number;
    }
  }
  return out;
}
