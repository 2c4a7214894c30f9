import { describe, expect, it } from "vitest";
import type { Image, PointPx } from "../numeric/image.ts";
import { beamSpectrum } from "../physics/spectrum.ts";
import { gaussianBlur } from "./blur.ts";
import { plainDetector } from "./detector.ts";
import { constructionOf } from "./packages/families.ts";
import { planLot } from "./plan-lot.ts";
import { primaryBeam } from "./primary-beam.ts";
import { placedFeatures, renderPicture } from "./render-picture.ts";
import { lotTruth } from "./truth.ts";
import { lotLike, usualExposure } from "./usual-lot.ts";

function at(image: Image, [x, y]: PointPx): number {
  const [x0, y0] = [Math.floor(x), Math.floor(y)];
  const [fx, fy] = [x - x0, y - y0];
  const v = (i: number, j: number) => image.data[(y0 + j) * image.width + x0 + i];
  return (v(0, 0) * (1 - fx) + v(1, 0) * fx) * (1 - fy) + (v(0, 1) * (1 - fx) + v(1, 1) * fx) * fy;
}

/**
 * Distance in px, outwards, from the expected edge to where the mean profile along its normal crosses half way
 * between its plateaus.
 *
 * @param from corner, `to` next corner clockwise; only shares `span` of the edge is read
 */
function edgeError(
  image: Image,
  from: PointPx,
  to: PointPx,
  span: readonly [number, number],
  reachPx: number,
): number {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1]);
  const normal = [(to[1] - from[1]) / length, -(to[0] - from[0]) / length];
  const steps = 8 * reachPx;
  const profile = Array.from({ length: 2 * steps + 1 }, (_, i) => {
    const d = (i - steps) / 8;
    let sum = 0;
    for (let k = 0; k < 40; k++) {
      const t = span[0] + ((k + 0.5) / 40) * (span[1] - span[0]);
      const x = from[0] + t * (to[0] - from[0]) + d * normal[0];
      const y = from[1] + t * (to[1] - from[1]) + d * normal[1];
      sum += at(image, [x, y]);
    }
    return sum / 40;
  });
  const half = (profile[0] + profile[2 * steps]) / 2;
  const crossing = profile.findIndex((v, i) => i > 0 && (v - half) * (profile[i - 1] - half) <= 0);
  const [a, b] = [profile[crossing - 1], profile[crossing]];
  return (crossing - 1 + (half - a) / (b - a) - steps) / 8;
}

const still = {
  shiftMm: 0.05,
  turnSpreadDeg: 3,
  scaleSpread: 0.01,
  tiltSpreadDeg: 0,
};
const quiet = {
  ...plainDetector,
  openBeamSnr: 1e5,
  electronicNoiseGrey: 0,
  tailShare: 0,
  scatterShare: 0,
  ceilingGrey: 65535,
  openBeamGrey: 60000,
};

describe("truth against pixels", () => {
  it("puts body edges where the picture has them, within 0.1 px", () => {
    // Sawn body without draft; the edge is read between the outermost lead and the corner.
    const lot = lotLike(
      "edges",
      "test",
      {
        constructions: [{ construction: constructionOf("g0", "QFN-32", "A"), count: 3 }],
        exposures: [{ ...usualExposure, detector: quiet }],
      },
      still,
    );
    const plan = planLot(lot, 5);
    const truth = lotTruth(plan);
    truth.images.forEach((image, i) => {
      const picture = renderPicture(plan, i);
      const grey = { width: picture.width, height: picture.height, data: Float32Array.from(picture.samples) };
      const corners = image.parts[0].body_corners_px;
      for (let k = 0; k < 4; k++) {
        const error = edgeError(grey, corners[k], corners[(k + 1) % 4], [0.04, 0.07], 4);
        expect(Math.abs(error), `picture ${i}, edge ${k}`).toBeLessThan(0.1);
      }
    });
  });

  it("puts die edges where the picture has them, within 0.02 px", () => {
    // A die in a bare body: the attach fillet would hide its edge, so lead frame and attach are left out.
    const lot = lotLike(
      "dies",
      "test",
      { constructions: [{ construction: constructionOf("g0", "SO-8", "A", { wire: null }), count: 3 }] },
      still,
    );
    const plan = planLot(lot, 9);
    const truth = lotTruth(plan);
    plan.parts.forEach((part, i) => {
      const placed = placedFeatures(plan, i).map((p) => ({
        ...p,
        features: p.features.filter((f) => f.material === "silicon" || f.material === "mould"),
      }));
      const sharp = primaryBeam(
        plan.layout.widthPx,
        plan.layout.heightPx,
        placed,
        beamSpectrum({ kv: 80, filterMm: { aluminium: 1 }, stepKev: 2 }),
        new Set(),
      );
      const image = gaussianBlur(sharp, 0.72);
      const corners = truth.images[i].parts[0].die.corners_px ?? [];
      expect(corners).toHaveLength(4);
      for (let k = 0; k < 4; k++) {
        const error = edgeError(image, corners[k], corners[(k + 1) % 4], [0.2, 0.8], 5);
        expect(Math.abs(error), `${part.id}, edge ${k}`).toBeLessThan(0.02);
      }
      const length = Math.hypot(corners[1][0] - corners[0][0], corners[1][1] - corners[0][1]);
      expect(length).toBeCloseTo((1.62 / 0.0135) * part.pose.scale, 2);
    });
  });

  it("does not widen dense edges: 0.2 mm of copper against nothing, within 0.02 px", () => {
    const lot = lotLike(
      "pads",
      "test",
      {
        constructions: [
          { construction: constructionOf("g0", "QFN-32", "A", { dieMm: null, wire: null }), count: 2 },
        ],
      },
      still,
    );
    const plan = planLot(lot, 3);
    const truth = lotTruth(plan);
    plan.parts.forEach((part, i) => {
      const placed = placedFeatures(plan, i).map((p) => ({
        ...p,
        features: p.features.filter((f) => f.material === "copper"),
      }));
      const { widthPx, heightPx } = plan.layout;
      const beam = beamSpectrum({ kv: 80, filterMm: { aluminium: 1 }, stepKev: 2 });
      const image = gaussianBlur(primaryBeam(widthPx, heightPx, placed, beam, new Set()), 0.72);
      const corners = truth.images[i].parts[0].paddle_corners_px ?? [];
      for (let k = 0; k < 4; k++) {
        const error = edgeError(image, corners[k], corners[(k + 1) % 4], [0.3, 0.7], 5);
        expect(Math.abs(error), `${part.id}, edge ${k}`).toBeLessThan(0.02);
      }
    });
  });

  it("follows mirrored, turned, tilted parts through a central projection, within 0.02 px", () => {
    const construction = constructionOf("g0", "QFN-32", "A", { dieMm: null, wire: null });
    const lot = lotLike(
      "cone",
      "test",
      {
        constructions: [{ construction, count: 4 }],
        layout: {
          kind: "tray",
          rows: 2,
          columns: 2,
          gapMm: 2.4,
          marginMm: 0.5,
          walls: false,
          offsetMm: [0, 0],
        },
        mmPerPx: 0.02,
        sourceDistanceMm: 30,
      },
      { ...still, turnsDeg: "any", mirroredShare: 0.5, tiltSpreadDeg: 3 },
    );
    const plan = planLot(lot, 12);
    expect(new Set(plan.parts.map((p) => p.pose.mirrored)).size).toBe(2);
    const placed = placedFeatures(plan, 0).map((p) => ({
      ...p,
      // The pad alone: half-etched tie bars meet its corners only.
      features: p.features.filter((f) => f.material === "copper"),
    }));
    const { widthPx, heightPx } = plan.layout;
    const beam = beamSpectrum({ kv: 80, filterMm: { aluminium: 1 }, stepKev: 2 });
    const image = gaussianBlur(primaryBeam(widthPx, heightPx, placed, beam, new Set()), 0.72);
    for (const part of lotTruth(plan).images[0].parts) {
      const corners = part.paddle_corners_px ?? [];
      const order = part.mirrored ? [...corners].reverse() : corners;
      for (let k = 0; k < 4; k++) {
        const error = edgeError(image, order[k], order[(k + 1) % 4], [0.3, 0.7], 5);
        expect(Math.abs(error), `${part.id}, edge ${k}`).toBeLessThan(0.02);
      }
    }
  });
});
