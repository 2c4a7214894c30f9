import { dilateGrey, erodeGrey } from "../../../numeric/grey-morphology.ts";
import type { Image, Mask } from "../../../numeric/image.ts";
import { createMask } from "../../../numeric/image.ts";
import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";
import { growRectangle } from "../../../numeric/oriented-rectangle.ts";
import type { KnownWires } from "../../wires/judge-part.ts";
import { distanceTo, metalOverMould } from "../../wires/lead-metal.ts";
import { courseEnd } from "../../wires/search-courses.ts";
import type { GroupScene } from "./group-scenes.ts";

/** The upright part of the frame that is looked at. */
export interface Window {
  readonly x0: number;
  readonly y0: number;
  readonly width: number;
  readonly height: number;
}

/** The body, its rim left out: mould and frame shift against each other. */
export function bodyWindow({ body }: GroupScene["scene"], { width, height }: Image): Window {
  const rim = 0.03 * body.widthPx;
  const x0 = Math.max(0, Math.ceil(body.centrePx[0] - body.lengthPx / 2 + rim));
  const y0 = Math.max(0, Math.ceil(body.centrePx[1] - body.widthPx / 2 + rim));
  const x1 = Math.min(width - 1, Math.floor(body.centrePx[0] + body.lengthPx / 2 - rim));
  const y1 = Math.min(height - 1, Math.floor(body.centrePx[1] + body.widthPx / 2 - rim));
  return { x0, y0, width: Math.max(0, x1 - x0 + 1), height: Math.max(0, y1 - y0 + 1) };
}

/** The window of a frame picture. */
export function cropped(image: Image, { x0, y0, width, height }: Window): Image {
  const data = new Float32Array(width * height);
  for (let y = 0; y < height; y++) {
    const row = (y + y0) * image.width + x0;
    data.set(image.data.subarray(row, row + width), y * width);
  }
  return { width, height, data };
}

/** Edges come this near, px: parts lie on each other to a fraction of it, blur reaches it. */
const edgeReachPx = 3;
/** A neighbourhood that varies by more than this share of the metal's contrast over mould holds an edge. */
const leastEdge = 0.12;
/** Wires sway and bonds move: px beside a wire's course. */
const wireReachPx = 12;

/**
 * Where a group's average is even, so that what is small and stands out of one part is matter: no edge, no wire, no
 * die's rim near. 1 selects.
 *
 * @param average cropped to the window
 */
export function quietField(
  average: Image,
  window: Window,
  group: GroupScene,
  wires: KnownWires | null,
): Mask {
  const { width, height } = average;
  const high = dilateGrey(average, edgeReachPx, "square").data;
  const low = erodeGrey(average, edgeReachPx, "square").data;
  const most = Math.max(leastEdge * metalOverMould(group.average, group.scene), 6 * group.openNoise);
  const { die } = group.scene;
  const rim = 0.2 * Math.min(die.lengthPx, die.widthPx);
  const [outer, inner] = [growRectangle(die, rim), growRectangle(die, -rim)];
  const quiet = createMask(width, height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      if (!((high[i] as number) - (low[i] as number) < most)) continue;
      const at = [x + window.x0, y + window.y0] as const;
      if (distanceTo(outer, at) === 0 && !isInside(inner, at)) continue;
      quiet.data[i] = 1;
    }
  }
  if (wires) for (const { line } of wires.wires) leaveOutWire(quiet, window, line.course, die);
  return quiet;
}

function isInside(rect: OrientedRectangle, at: readonly [number, number]): boolean {
  return rect.lengthPx > 0 && rect.widthPx > 0 && distanceTo(rect, at) === 0;
}

/** Takes out what lies beside a wire, on over the lead's end and the die as far as bonds are set. */
function leaveOutWire(
  { width, height, data }: Mask,
  { x0, y0 }: Window,
  course: Parameters<typeof courseEnd>[0],
  die: OrientedRectangle,
): void {
  const [fx, fy] = course.tipPx;
  const [tx, ty] = courseEnd(course, die);
  const length = Math.hypot(tx - fx, ty - fy);
  if (!length) return;
  const [ux, uy] = [(tx - fx) / length, (ty - fy) / length];
  const onDie = 0.35 * Math.min(die.lengthPx, die.widthPx);
  const [first, last] = [-2 * wireReachPx, length + onDie];
  const ends = [first, last].map((t) => [fx + t * ux - x0, fy + t * uy - y0] as const);
  const within = (v: number, most: number) => Math.min(most - 1, Math.max(0, Math.round(v)));
  const xs = ends.map(([x]) => x);
  const ys = ends.map(([, y]) => y);
  for (
    let y = within(Math.min(...ys) - wireReachPx, height);
    y <= within(Math.max(...ys) + wireReachPx, height);
    y++
  ) {
    for (
      let x = within(Math.min(...xs) - wireReachPx, width);
      x <= within(Math.max(...xs) + wireReachPx, width);
      x++
    ) {
      const [dx, dy] = [x + x0 - fx, y + y0 - fy];
      const along = dx * ux + dy * uy;
      if (along >= first && along <= last && Math.abs(dx * uy - dy * ux) <= wireReachPx)
        data[y * width + x] = 0;
    }
  }
}
