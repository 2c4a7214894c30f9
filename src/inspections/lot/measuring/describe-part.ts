import { applyMap, composeMaps, invertMap } from "../../../align/similarity.ts";
import type { PointPx } from "../../../numeric/image.ts";
import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";
import { pointInRectangle, rectangleCorners } from "../../../numeric/oriented-rectangle.ts";
import type { Scale } from "../../../radiograph/radiograph.ts";
import { toMillimetres } from "../../../radiograph/scale.ts";
import type { Measured } from "../../../units/measured.ts";
import { measured, notMeasured } from "../../../units/measured.ts";
import type { PlacedItem } from "../lot-item.ts";
import type { AlignedPart, LotFrame } from "../placing/align-lot.ts";
import type { LotMeasurements, LotPose } from "../result.ts";
import type { PartMeasures } from "./measure-lot.ts";
import type { MeasuredRectangle } from "./measure-part.ts";

/** Standard uncertainty of a body side: which point of a drafted side is its outline. Checked on simulated pictures. */
const uBodySidePx = 0.6;
/** Standard uncertainty of attenuation levels: scatter, beam hardening and the open-beam fit (common practice). */
const uLevelShare = 0.03;

/** A part's measurements as reported: px of the original picture, or mm with a scale. */
export function describeMeasurements(
  item: PlacedItem,
  measures: PartMeasures,
  scale: Scale,
  dieAbsent: boolean,
): LotMeasurements {
  const { patch } = item;
  const by = patch.reducedBy;
  const unit = scale.umPerPx === null ? ("px" as const) : ("mm" as const);
  const length = (px: number, u: number): Measured => toMillimetres(measured(px * by, u * by, "px"), scale);
  const side = (
    rect: MeasuredRectangle | null,
    of: "length" | "width",
    because: "not-visible" | "not-present",
  ): Measured => {
    if (!rect) return notMeasured(unit, because);
    return of === "length"
      ? length(rect.rectangle.lengthPx, rect.uLengthPx)
      : length(rect.rectangle.widthPx, rect.uWidthPx);
  };
  const whole = patch.part.wholeField;
  const noDie = dieAbsent ? ("not-present" as const) : ("not-visible" as const);
  const { die, pad, leads } = measures;
  const offset = die && !whole ? dieOffset(item, die.rectangle) : null;
  const perFrame = Math.hypot(item.aligned.map.a, item.aligned.map.d);
  const uBody = (u: number) => Math.hypot(u / by, Math.SQRT2 * uBodySidePx);
  const body = patch.body;
  const bodySide = (px: number, u: number | undefined): Measured =>
    // Parts that the picture cuts are set aside before: where no outline was fitted, the mould does not show.
    whole || u === undefined ? notMeasured(unit, "not-visible") : length(px, uBody(u));
  return {
    bodyLength: bodySide(body.lengthPx, patch.part.fit?.uLengthPx),
    bodyWidth: bodySide(body.widthPx, patch.part.fit?.uWidthPx),
    padLength: side(pad, "length", "not-visible"),
    padWidth: side(pad, "width", "not-visible"),
    dieLength: side(die, "length", noDie),
    dieWidth: side(die, "width", noDie),
    dieOffsetX:
      offset && die ? length(offset[0], Math.hypot(die.uLengthPx, uBodySidePx)) : notMeasured(unit, noDie),
    dieOffsetY:
      offset && die ? length(offset[1], Math.hypot(die.uWidthPx, uBodySidePx)) : notMeasured(unit, noDie),
    dieTurn: die && !whole ? dieTurn(item, die) : notMeasured("deg", noDie),
    leads: leads
      ? { value: leads.count, U: 0, k: 2, unit: "1", note: "leads standing out of the body, counted" }
      : notMeasured("1", measures.leadsCut ? "out-of-field" : "not-visible"),
    leadPitch: leads?.pitchPx
      ? length(leads.pitchPx * perFrame, 0.5)
      : notMeasured(unit, measures.leadsCut ? "out-of-field" : "not-visible"),
    frameAttenuation: pad
      ? measured(measures.frameAttenuation, uLevelShare * measures.frameAttenuation, "1")
      : notMeasured("1", "not-visible"),
    dieAttenuation:
      measures.dieAttenuation !== null && die
        ? measured(measures.dieAttenuation, uLevelShare * measures.inside.levels.metal, "1")
        : notMeasured("1", noDie),
    wiresSeen: notMeasured("1", "not-assessed"),
  };
}

/** Die centre less body centre, along the lot frame's axes, patch px. */
function dieOffset(item: PlacedItem, die: OrientedRectangle): PointPx {
  const back = invertMap(item.aligned.map);
  const d = applyMap(back, die.centrePx);
  const b = applyMap(back, item.patch.body.centrePx);
  const perFrame = Math.hypot(item.aligned.map.a, item.aligned.map.d);
  return [(d[0] - b[0]) * perFrame, (d[1] - b[1]) * perFrame];
}

/** Turn of the die in its body, degrees, within a quarter turn; clockwise in the lot's frame. */
function dieTurn(item: PlacedItem, die: MeasuredRectangle): Measured {
  let turn = ((die.rectangle.angleRad - item.patch.body.angleRad) * 180) / Math.PI;
  turn = ((((turn + 45) % 90) + 90) % 90) - 45;
  const u = ((Math.hypot(die.uLengthPx, die.uWidthPx) / Math.max(1, die.rectangle.lengthPx)) * 180) / Math.PI;
  return measured(item.aligned.mirrored ? -turn : turn, Math.max(0.05, u), "deg");
}

/** How a part lies, with the other poses that are not told from it. */
export function describePose({ turnDeg, mirrored, alternatives }: AlignedPart): LotPose {
  return {
    turn: turnDeg,
    mirrored,
    ambiguousWith: alternatives
      .filter((a) => a.equal)
      .map((a) => ({ turn: a.turnDeg, mirrored: a.mirrored })),
  };
}

/** Body corners in the original picture, starting at the one that lies top-left in the frame, around the body. */
export function bodyCorners(item: PlacedItem, frame: LotFrame): [PointPx, PointPx, PointPx, PointPx] {
  const { patch, aligned } = item;
  const corners = rectangleCorners(patch.body);
  const inPicture = (p: PointPx) => applyMap(patch.toPicture, p);
  const wanted = [
    [-0.5, -0.5],
    [0.5, -0.5],
    [0.5, 0.5],
    [-0.5, 0.5],
  ].map(([u, v]) => applyMap(aligned.map, pointInRectangle(frame.body, u as number, v as number)));
  const nearest = (to: PointPx) =>
    corners.reduce((best, c) =>
      Math.hypot(c[0] - to[0], c[1] - to[1]) < Math.hypot(best[0] - to[0], best[1] - to[1]) ? c : best,
    );
  return wanted.map((w) => inPicture(nearest(w))) as [PointPx, PointPx, PointPx, PointPx];
}

/** Frame pixel -> picture pixel. */
export function toPictureMap(item: PlacedItem) {
  return composeMaps(item.patch.toPicture, item.aligned.map);
}
