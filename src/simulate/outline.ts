import type { OutlineMm, PointMm } from "./feature.ts";

/** A rectangle about a centre, turned by `turnDeg`; corners from top left, clockwise on the screen. */
export function rectangle(centre: PointMm, length: number, width: number, turnDeg = 0): OutlineMm {
  const c = Math.cos((turnDeg * Math.PI) / 180);
  const s = Math.sin((turnDeg * Math.PI) / 180);
  const corners: PointMm[] = [
    [-length / 2, -width / 2],
    [length / 2, -width / 2],
    [length / 2, width / 2],
    [-length / 2, width / 2],
  ];
  return corners.map(([x, y]) => [centre[0] + c * x - s * y, centre[1] + s * x + c * y]);
}

/** The upright rectangle between two opposite corners. */
export function box(x0: number, y0: number, x1: number, y1: number): OutlineMm {
  return [
    [x0, y0],
    [x1, y0],
    [x1, y1],
    [x0, y1],
  ];
}

/** An upright rectangle with its corners cut off by `chamfer`. */
export function chamferedRectangle(
  centre: PointMm,
  length: number,
  width: number,
  chamfer: number,
): OutlineMm {
  const [x, y] = centre;
  const a = length / 2;
  const b = width / 2;
  const c = Math.min(chamfer, a / 2, b / 2);
  return [
    [x - a + c, y - b],
    [x + a - c, y - b],
    [x + a, y - b + c],
    [x + a, y + b - c],
    [x + a - c, y + b],
    [x - a + c, y + b],
    [x - a, y + b - c],
    [x - a, y - b + c],
  ];
}

/** A disc as a polygon of the same area. */
export function disc(centre: PointMm, radius: number, corners = 24): OutlineMm {
  const step = (2 * Math.PI) / corners;
  const r = radius * Math.sqrt(step / Math.sin(step));
  return Array.from({ length: corners }, (_, i): PointMm => {
    return [centre[0] + r * Math.cos(i * step), centre[1] + r * Math.sin(i * step)];
  });
}

/**
 * The outline of a strip along a path, its width given at each point, mitred at the bends.
 *
 * @param path at least two points
 * @param widths full width at each point, same length as the path
 */
export function strip(path: OutlineMm, widths: readonly number[]): OutlineMm {
  const left: PointMm[] = [];
  const right: PointMm[] = [];
  for (let i = 0; i < path.length; i++) {
    const before = path[Math.max(0, i - 1)];
    const here = path[i];
    const after = path[Math.min(path.length - 1, i + 1)];
    const inX = here[0] - before[0];
    const inY = here[1] - before[1];
    const outX = after[0] - here[0];
    const outY = after[1] - here[1];
    const inLength = Math.hypot(inX, inY) || 1;
    const outLength = Math.hypot(outX, outY) || 1;
    let nx = -(inY / inLength + outY / outLength);
    let ny = inX / inLength + outX / outLength;
    const n = Math.hypot(nx, ny) || 1;
    nx /= n;
    ny /= n;
    const reference = i === 0 ? [outX / outLength, outY / outLength] : [inX / inLength, inY / inLength];
    const cosine = Math.max(0.5, Math.abs(nx * -reference[1] + ny * reference[0]));
    const reach = widths[i] / 2 / cosine;
    left.push([here[0] + nx * reach, here[1] + ny * reach]);
    right.push([here[0] - nx * reach, here[1] - ny * reach]);
  }
  return [...left, ...right.reverse()];
}

/** Points at share `t` from the outline `from` to the outline `to`; both hold the same number of corners. */
export function between(from: OutlineMm, to: OutlineMm, t: number): OutlineMm {
  return from.map(([x, y], i): PointMm => [x + t * (to[i][0] - x), y + t * (to[i][1] - y)]);
}

/** Turns an outline by quarter turns about the origin, clockwise on the screen. */
export function quarterTurned(outline: OutlineMm, quarters: number): OutlineMm {
  return outline.map(([x, y]): PointMm => {
    switch (((quarters % 4) + 4) % 4) {
      case 1:
        return [-y, x];
      case 2:
        return [-x, -y];
      case 3:
        return [y, -x];
      default:
        return [x, y];
    }
  });
}
