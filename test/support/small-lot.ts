import { deflateSync } from "node:zlib";
import type { Construction } from "../../src/simulate/construction.ts";
import { encodeTiff } from "../../src/simulate/encode-tiff.ts";
import type { PartFault } from "../../src/simulate/lot-spec.ts";
import { constructionOf } from "../../src/simulate/packages/families.ts";
import type { SimulatedPicture } from "../../src/simulate/render-picture.ts";
import { simulateLot } from "../../src/simulate/simulate-lot.ts";
import type { LotTruth } from "../../src/simulate/truth.ts";
import { lotLike, trayOf } from "../../src/simulate/usual-lot.ts";

type SmallLot = { picture: SimulatedPicture; truth: LotTruth };

/** Nine small-outline parts in one tray of three rows, in half a second; parts are numbered in reading order. */
export function smallLot(fault: PartFault | null): SmallLot {
  return oneTray(
    [{ construction: constructionOf("g0", "SO-8", "A"), count: 9 }],
    fault === null ? [] : [{ fault, count: 1 }],
  );
}

/** As `smallLot`: six of one construction, three on another lead frame. */
export function smallMixedLot(): SmallLot {
  return oneTray(
    [
      { construction: constructionOf("g0", "SO-8", "A"), count: 6 },
      { construction: constructionOf("g1", "SO-8", "B"), count: 3 },
    ],
    [],
  );
}

function oneTray(
  constructions: { construction: Construction; count: number }[],
  faults: { fault: PartFault; count: number }[],
): SmallLot {
  const spec = lotLike("small", "Nine SO-8 in one tray.", {
    constructions,
    faults,
    layout: trayOf(3, 3),
    mmPerPx: 0.027,
    dust: 0,
  });
  const { pictures, truth } = simulateLot(spec, 1);
  return { picture: pictures[0], truth };
}

/** A picture, or other samples of its size, as a 16-bit TIFF. */
export function tiffOf(
  { samples, width, height }: SimulatedPicture,
  other: Uint16Array = samples,
): Uint8Array {
  return encodeTiff(other, width, height, 16, false, deflateSync);
}
