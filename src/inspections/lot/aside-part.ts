import { applyMap } from "../../align/similarity.ts";
import { rectangleCorners } from "../../numeric/oriented-rectangle.ts";
import type { NoNumber } from "../../units/measured.ts";
import { notMeasured } from "../../units/measured.ts";
import type { LotItem } from "./lot-item.ts";
import type { LotMeasurement, LotMeasurements, LotPart } from "./result.ts";

/** Noise of attenuation in open field beyond which dies, pads and mould no longer stand out in one picture. */
const mostOpenNoise = 0.08;

/** Why a part cannot be compared, as a reason for its missing numbers and in words; null when it can. */
export function notAssessable({ patch, picture }: LotItem): { reason: NoNumber; says: string } | null {
  if (patch.part.cutByEdge) {
    return { reason: "out-of-field", says: "out-of-field: the picture's edge cuts the body" };
  }
  if (patch.censoredShare > 0.2) {
    return { reason: "saturated", says: "saturated: more than a fifth of the part is clipped" };
  }
  if (picture.openNoise > mostOpenNoise) {
    return {
      reason: "not-visible",
      says: `too noisy: attenuation varies by ${picture.openNoise.toFixed(2)} from pixel to pixel in open field (under-exposed)`,
    };
  }
  return null;
}

const measurementNames: readonly LotMeasurement[] = [
  "bodyLength",
  "bodyWidth",
  "padLength",
  "padWidth",
  "dieLength",
  "dieWidth",
  "dieOffsetX",
  "dieOffsetY",
  "dieTurn",
  "leads",
  "leadPitch",
  "frameAttenuation",
  "dieAttenuation",
  "wiresSeen",
];

/** A part that was found but not compared. */
export function asidePart(item: LotItem): LotPart {
  const why = notAssessable(item) ?? {
    reason: "too-few" as const,
    says: "too-few: nothing to compare it with",
  };
  return {
    id: item.id,
    picture: item.picture.picture,
    cornersPx: rectangleCorners(item.patch.body).map((p) =>
      applyMap(item.patch.toPicture, p),
    ) as unknown as LotPart["cornersPx"],
    group: null,
    suspect: false,
    assessable: false,
    because: why.says,
    pose: { turn: (item.patch.body.angleRad * 180) / Math.PI, mirrored: false, ambiguousWith: [] },
    relativeScale: 1,
    measurements: Object.fromEntries(
      measurementNames.map((name) => [name, notMeasured("1", why.reason)]),
    ) as LotMeasurements,
    wires: [],
    leadEnds: [],
    calls: [],
    oddness: 0,
  };
}
