import { labelComponents } from "../../numeric/components.ts";
import type { BoxPx, Mask } from "../../numeric/image.ts";
import { distanceTransform } from "../../numeric/morphology.ts";
import type { LevelCut, Piece } from "./part-levels.ts";

/**
 * Splits a piece several parts large into single parts.
 *
 * The piece is eroded until it falls into cores of which about `area / unit` are left; every pixel then
 * goes to the core reached first through the piece (a flood from the cores outwards). Where erosion finds
 * no such cores (parts flush against each other), the piece stays whole.
 *
 * @param unitAreaPx area of one part in the reduced picture
 */
export function splitTouching(
  cut: LevelCut,
  piece: Piece,
  unitAreaPx: number,
): { cut: LevelCut; piece: Piece }[] {
  const expected = Math.round(piece.filledPx / unitAreaPx);
  const [x0, y0, w, h] = piece.boxPx;
  const inside: Mask = { width: w + 2, height: h + 2, data: new Uint8Array((w + 2) * (h + 2)) };
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      if (cut.labels[(y + y0) * cut.mask.width + x + x0] === piece.label) {
        inside.data[(y + 1) * inside.width + x + 1] = 1;
      }
    }
  }
  const depth = distanceTransform(inside).data;
  const deepest = depth.reduce((m, d) => Math.max(m, d), 0);
  let split: { cut: LevelCut; piece: Piece }[] = [{ cut, piece }];
  for (let radius = 1; radius < deepest; radius += Math.max(1, deepest / 24)) {
    const core: Mask = {
      width: inside.width,
      height: inside.height,
      data: new Uint8Array(inside.data.length),
    };
    for (let i = 0; i < depth.length; i++) core.data[i] = (depth[i] as number) > radius ? 1 : 0;
    const { labels, components } = labelComponents(core, 4);
    const largest = components.reduce((m, c) => Math.max(m, c.areaPx), 0);
    const cores = components.filter((c) => c.areaPx > 0.35 * largest);
    if (cores.length <= split.length) continue;
    if (cores.length > expected + 1) break;
    const kept = new Map(cores.map((c, i) => [c.label, i + 1]));
    const owners = flood(inside, labels, kept);
    split = cores.map((_, i) => asPiece(cut, piece, inside, owners, i + 1, [x0, y0]));
    if (cores.length >= expected) break;
  }
  return split;
}

/** Gives every pixel of the piece to the core nearest through the piece (breadth first, 4 neighbours). */
function flood(inside: Mask, labels: Int32Array, kept: ReadonlyMap<number, number>): Int32Array {
  const { width, data } = inside;
  const owners = new Int32Array(data.length);
  const queue = new Int32Array(data.length);
  let tail = 0;
  for (let i = 0; i < data.length; i++) {
    const owner = kept.get(labels[i] as number);
    if (!owner) continue;
    owners[i] = owner;
    queue[tail++] = i;
  }
  for (let head = 0; head < tail; head++) {
    const i = queue[head] as number;
    for (const j of [i - 1, i + 1, i - width, i + width]) {
      if (!data[j] || owners[j]) continue;
      owners[j] = owners[i] as number;
      queue[tail++] = j;
    }
  }
  return owners;
}

function asPiece(
  cut: LevelCut,
  piece: Piece,
  inside: Mask,
  owners: Int32Array,
  owner: number,
  [x0, y0]: readonly [number, number],
): { cut: LevelCut; piece: Piece } {
  const labels = new Int32Array(cut.labels.length);
  let areaPx = 0;
  let filledPx = 0;
  let sumX = 0;
  let sumY = 0;
  let left = cut.mask.width;
  let top = cut.mask.height;
  let right = -1;
  let bottom = -1;
  for (let i = 0; i < owners.length; i++) {
    if (owners[i] !== owner) continue;
    const x = (i % inside.width) - 1 + x0;
    const y = Math.floor(i / inside.width) - 1 + y0;
    const at = y * cut.mask.width + x;
    labels[at] = 1;
    filledPx++;
    if (cut.mask.data[at]) areaPx++;
    sumX += x;
    sumY += y;
    left = Math.min(left, x);
    right = Math.max(right, x);
    top = Math.min(top, y);
    bottom = Math.max(bottom, y);
  }
  const boxPx: BoxPx = [left, top, right - left + 1, bottom - top + 1];
  const touchesBorder =
    piece.touchesBorder &&
    (left === 0 || top === 0 || right === cut.mask.width - 1 || bottom === cut.mask.height - 1);
  return {
    cut: { ...cut, labels },
    piece: {
      label: 1,
      areaPx,
      filledPx,
      boxPx,
      centroidPx: [sumX / filledPx, sumY / filledPx],
      touchesBorder,
    },
  };
}
