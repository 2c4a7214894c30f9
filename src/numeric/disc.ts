/** Half width in pixels of the disc dx^2 + dy^2 <= radius^2 in each of its rows dy = 0..floor(radius). */
export function discHalfWidths(radiusPx: number): Int32Array {
  return Int32Array.from({ length: Math.floor(radiusPx) + 1 }, (_, dy) =>
    Math.floor(Math.sqrt(radiusPx * radiusPx - dy * dy)),
  );
}
