import { beforeAll, describe, expect, it } from "vitest";
import type { DrawnPose } from "../../../../test/support/drawn-lot.ts";
import { drawnLot, placedOffPx } from "../../../../test/support/drawn-lot.ts";
import { drawnPart } from "../../../../test/support/drawn-part.ts";
import type { AffineMap } from "../../../align/similarity.ts";
import { applyMap, composeMaps } from "../../../align/similarity.ts";
import { rescaledPatch } from "../exemplars/rescaled-patch.ts";
import type { LotItem } from "../lot-item.ts";
import type { LotFrame } from "./align-lot.ts";
import { inPose, intoFrame, lotFrame, lyingIn, ownPixels, referenceMap } from "./align-lot.ts";
import type { FrameReference } from "./search-pose.ts";
import { alignPatch, frameReference } from "./search-pose.ts";

// Parts are drawn: how each lies is known by construction.
const poses: readonly DrawnPose[] = [
  { turnDeg: 0 },
  { turnDeg: 3.2, centrePx: [117.1, 101.4] },
  { turnDeg: 178 },
  { turnDeg: 1.5, mirrored: true },
  { turnDeg: -179, mirrored: true, scale: 1.04 },
  { turnDeg: 90, scale: 0.95 },
  { turnDeg: 2, part: drawnPart("die") },
  { turnDeg: 181.5, part: drawnPart("mark") },
];

let items: readonly LotItem[];
let frame: LotFrame;
let ready: FrameReference;
beforeAll(async () => {
  items = await drawnLot(poses);
  frame = lotFrame(items[0].patch);
  ready = frameReference(frame, intoFrame(frame, items[0].patch, referenceMap(frame, items[0].patch)));
});

/** How far a part is off where it was drawn. */
const offPx = (map: AffineMap, index: number) => placedOffPx(map, frame, items[index], poses[index]);

describe("a part brought into the lot's frame", () => {
  poses.slice(0, 6).forEach(({ turnDeg = 0, mirrored = false, scale = 1 }, index) => {
    it(`lies on the reference: turned by ${turnDeg} degrees, ${mirrored ? "mirrored" : "not mirrored"}, ${scale} its size`, () => {
      const aligned = alignPatch(ready, items[index].patch);
      expect(offPx(aligned.map, index)).toBeLessThan(0.35);
      expect(aligned.mirrored).toBe(mirrored);
      // A mirrored pose is told as turned over its length, then turned: half a turn from turned over its width.
      const told = aligned.turnDeg + (mirrored ? 180 : 0);
      const off = ((told - turnDeg) * Math.PI) / 180;
      expect(Math.cos(off)).toBeGreaterThan(Math.cos((0.5 * Math.PI) / 180));
      expect(Math.abs(aligned.scale / scale - 1)).toBeLessThan(0.005);
      expect(aligned.correlation).toBeGreaterThan(0.98);
    });
  });

  it("lies on the reference although its own picture is kept at half the size", () => {
    const half = rescaledPatch(items[1].patch, 0.5);
    const aligned = alignPatch(ready, half);
    expect(Math.abs(aligned.scale - 1)).toBeLessThan(0.01);
    expect(aligned.mirrored).toBe(false);
    expect(Math.abs(aligned.turnDeg - 3.2)).toBeLessThan(0.5);
    const [x, y] = applyMap(composeMaps(half.toPicture, aligned.map), frame.body.centrePx);
    expect(Math.hypot(x - 117.1, y - 101.4)).toBeLessThan(1);
  });

  it("lies on the reference although its die is absent", () => {
    expect(offPx(alignPatch(ready, items[6].patch).map, 6)).toBeLessThan(0.35);
  });

  it("keeps the poses that it cannot tell apart: a part without its mark looks alike turned by a half and mirrored", () => {
    const aligned = alignPatch(ready, items[7].patch);
    expect(aligned.equal).toBe(true);
    const equal = [aligned, ...aligned.alternatives.filter((a) => a.equal)];
    const lies = equal.map((a) => `${a.mirrored ? "mirrored " : ""}${Math.abs(a.turnDeg) > 90 ? 180 : 0}`);
    expect(lies.sort()).toEqual(["0", "180", "mirrored 0", "mirrored 180"]);
    // Told to lie otherwise, it does, and its first pose becomes an alternative.
    const other = inPose(aligned, 0);
    expect(other.map).toEqual(aligned.alternatives[0].map);
    expect(other.alternatives).toHaveLength(aligned.alternatives.length);
    expect(other.alternatives[0].map).toEqual(aligned.map);
  });

  it("has no other pose where its mark is seen", () => {
    expect(alignPatch(ready, items[1].patch).alternatives.filter((a) => a.equal)).toEqual([]);
  });

  it("is marked as settled: the chosen pose first, those not told from it equal, the others not", () => {
    const aligned = alignPatch(ready, items[7].patch);
    const maps = [aligned, ...aligned.alternatives].map((a) => a.map);
    const settled = lyingIn(aligned, 2, [0]);
    expect(settled.map).toEqual(maps[2]);
    expect(settled.alternatives.map((a) => a.map)).toEqual(maps.filter((_, k) => k !== 2));
    expect(settled.alternatives.filter((a) => a.equal).map((a) => a.map)).toEqual([maps[0]]);
  });

  it("is aligned by its own pixels: what lies beyond the reference's reach has no say", () => {
    const own = intoFrame(frame, items[0].patch, referenceMap(frame, items[0].patch));
    const beside = { ...own, data: own.data.slice() };
    // Leads of the next part in a tray show in the uppermost row.
    for (let x = 10; x < own.width - 10; x++) beside.data[x] = x % 12 < 6 ? 2 : 0;
    expect(frameReference(frame, beside).levels).toEqual(frameReference(frame, own).levels);
    const kept = ownPixels(frame, beside);
    // Parts may touch: where poses are weighed even the rim of the reach is left out. Leads end 56 px from the middle.
    const safe = ownPixels(frame, own, 1, true);
    const column = Math.round((own.width - 1) / 2 - 36);
    const valuesAt = (fromMiddle: number) => {
      const at = Math.round((own.height - 1) / 2 - fromMiddle) * own.width + column;
      return [Number.isNaN(kept.data[at]), Number.isNaN(safe.data[at])];
    };
    expect([50, 57].map(valuesAt)).toEqual([
      [false, false],
      [false, true],
    ]);
    expect(kept.data[20]).toBeNaN();
    expect(kept.data[Math.floor(own.height / 2) * own.width + 20]).not.toBeNaN();
  });
});
