import type { PointPx } from "../numeric/image.ts";
import type { PointMm } from "./feature.ts";

/** Where a part lies. Turn is clockwise on the screen; a mirrored part lies on its back (x reversed). */
export interface Pose {
  /** Part centre in the picture's plane, mm from the outer corner of the first pixel. */
  readonly centreMm: PointMm;
  readonly turnDeg: number;
  readonly mirrored: boolean;
  /** Magnification against the picture's nominal one: above 1 for a part nearer the focal spot. */
  readonly scale: number;
  /** Tilt about the part's y and x axes. */
  readonly tiltDeg: readonly [aboutY: number, aboutX: number];
}

/** How mm become pixels. */
export interface Camera {
  readonly mmPerPx: number;
  /** Focal spot to picture plane; null for parallel rays. */
  readonly sourceDistanceMm: number | null;
  /** Point under the focal spot, mm in the picture's plane. */
  readonly axisMm: PointMm;
}

/** Maps a part point at height `zMm` to pixels; the top-left pixel's centre is 0,0. */
export type Project = (point: PointMm, zMm: number) => PointPx;

/** The map from part millimetres to pixels: mirror, tilt, turn, place, then central projection. */
export function projection(pose: Pose, camera: Camera): Project {
  const turn = (pose.turnDeg * Math.PI) / 180;
  const c = Math.cos(turn);
  const s = Math.sin(turn);
  const sinY = Math.sin((pose.tiltDeg[0] * Math.PI) / 180);
  const cosY = Math.cos((pose.tiltDeg[0] * Math.PI) / 180);
  const sinX = Math.sin((pose.tiltDeg[1] * Math.PI) / 180);
  const cosX = Math.cos((pose.tiltDeg[1] * Math.PI) / 180);
  return ([x, y], zMm) => {
    const side = pose.mirrored ? -1 : 1;
    const px = side * x * pose.scale;
    const py = y * pose.scale;
    const pz = side * zMm * pose.scale;
    const tx = px * cosY + pz * sinY;
    const z1 = pz * cosY - px * sinY;
    const ty = py * cosX + z1 * sinX;
    const tz = z1 * cosX - py * sinX;
    let mx = pose.centreMm[0] + c * tx - s * ty;
    let my = pose.centreMm[1] + s * tx + c * ty;
    if (camera.sourceDistanceMm !== null) {
      const grow = camera.sourceDistanceMm / (camera.sourceDistanceMm - tz);
      mx = camera.axisMm[0] + (mx - camera.axisMm[0]) * grow;
      my = camera.axisMm[1] + (my - camera.axisMm[1]) * grow;
    }
    return [mx / camera.mmPerPx - 0.5, my / camera.mmPerPx - 0.5];
  };
}
