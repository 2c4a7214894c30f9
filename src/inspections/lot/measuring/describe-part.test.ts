import { beforeAll, describe, expect, it } from "vitest";
import { comparedDrawnLot } from "../../../../test/support/drawn-lot.ts";
import { faultyTen } from "../../../../test/support/drawn-lots.ts";
import { drawnPartPx } from "../../../../test/support/drawn-part.ts";
import { noScale, typedScale } from "../../../radiograph/scale.ts";
import { bodyCorners, describeMeasurements } from "./describe-part.ts";

// Parts are drawn (test/support/drawn-part.ts, drawn-lots.ts): what each holds and how it lies is known by construction.

const { empty } = faultyTen;

describe("a part of a lot", () => {
  let all: Awaited<ReturnType<typeof comparedDrawnLot>>;
  beforeAll(async () => {
    all = await comparedDrawnLot(faultyTen.poses);
  });

  it("has measurements in px without a scale and in mm with one, and says why where there are none", () => {
    const [item, part] = [all.lot.items[0], all.measured.parts[0]];
    const px = describeMeasurements(item, part, noScale, false);
    const mm = describeMeasurements(item, part, typedScale(20), false);
    expect(px.padLength.unit).toBe("px");
    expect(Math.abs((px.padLength.value ?? 0) - drawnPartPx.pad[0])).toBeLessThan(0.5);
    // 20 um a pixel: 60 px are 1.2 mm.
    expect(mm.padLength.unit).toBe("mm");
    expect(mm.padLength.value).toBeCloseTo((px.padLength.value ?? 0) * 0.02, 9);
    expect(px.leads).toMatchObject({ value: 8, unit: "1" });
    expect(px.leadPitch.value).toBeCloseTo(drawnPartPx.pitch, 0);
    for (const offset of [px.dieOffsetX, px.dieOffsetY, px.dieTurn])
      expect(Math.abs(offset.value ?? 9)).toBeLessThan(0.7);
    // Metal over mould: 0.8 was drawn, the die over the pad 0.3.
    expect(px.dieAttenuation.value).toBeCloseTo(0.3, 1);
    const bare = describeMeasurements(all.lot.items[empty], all.measured.parts[empty], noScale, true);
    expect(bare.dieLength).toEqual({ value: null, unit: "px", because: "not-present" });
    expect(bare.wiresSeen).toMatchObject({ value: null, because: "not-assessed" });
  });

  it("has no body length where its outline does not show, which is not to say that the picture cuts it", () => {
    const [item, part] = [all.lot.items[0], all.measured.parts[0]];
    const hidden = { ...item, patch: { ...item.patch, part: { ...item.patch.part, fit: null } } };
    const px = describeMeasurements(hidden, part, noScale, false);
    expect(px.bodyLength).toEqual({ value: null, unit: "px", because: "not-visible" });
    expect(px.bodyWidth).toEqual(px.bodyLength);
    expect(describeMeasurements(item, part, noScale, false).bodyLength.value).not.toBeNull();
  });

  it("has body corners that start at the reference's top left, also on a part turned by a half", () => {
    const [first] = bodyCorners(all.lot.items[1], all.lot.frame);
    const reference = bodyCorners(all.lot.items[0], all.lot.frame);
    const lies = all.lot.items[1].aligned.turnDeg - all.lot.items[0].aligned.turnDeg;
    expect(Math.abs(Math.cos((lies * Math.PI) / 180) + 1)).toBeLessThan(0.001);
    // Turned by a half about (120.3, 99.6) the corner lies opposite.
    expect(Math.abs(first[0] + reference[0][0] - 2 * 120.3)).toBeLessThan(2);
    expect(Math.abs(first[1] + reference[0][1] - 2 * 99.6)).toBeLessThan(2);
    // On to the top right: along the length of 120 px first, then down the width of 80.
    const side = (k: number) =>
      Math.hypot(reference[k + 1][0] - reference[k][0], reference[k + 1][1] - reference[k][1]);
    expect(Math.abs(side(0) - drawnPartPx.body[0])).toBeLessThan(3);
    expect(Math.abs(side(1) - drawnPartPx.body[1])).toBeLessThan(3);
  });
});
