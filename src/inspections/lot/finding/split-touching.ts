import { labelComponents } from "../../../numeric/components.ts";
import type { Mask } from "../../../numeric/image.ts";
import { distanceTransform } from "../../../numeric/morphology.ts";
import { flood, ownedPieces, withoutNoiseHoles } from "./part-cores.ts";
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
  const inside = insidePiece(cut, piece);
  const depth = distanceTransform(inside).data;
  const deepest = depth.reduce((m, d) => Math.max(m, d), 0);
  let cores: Int32Array | null = null;
  let count = 1;
  for (let radius = 1; radius < deepest; radius += Math.max(1, deepest / 24)) {
    const core: Mask = { ...inside, data: new Uint8Array(inside.data.length) };
    for (let i = 0; i < depth.length; i++) core.data[i] = (depth[i] as number) > radius ? 1 : 0;
    const { labels, components } = labelComponents(core, 4);
    const largest = components.reduce((m, c) => Math.max(m, c.areaPx), 0);
    const large = components.filter((c) => c.areaPx > 0.35 * largest);
    if (large.length <= count) continue;
    if (large.length > expected + 1) break;
    const owner = new Int32Array(components.length + 1);
    large.forEach((c, k) => {
      owner[c.label] = k + 1;
    });
    cores = labels.map((label) => owner[label] as number);
    count = large.length;
    if (count >= expected) break;
  }
  return cores ? asPieces(cut, piece, inside, flood(inside, cores), count) : [{ cut, piece }];
}

/** The piece alone, with one unselected pixel around it. What leads of several parts enclose is not part of it. */
function insidePiece(cut: LevelCut, { label, boxPx: [x0, y0, w, h] }: Piece): Mask {
  const { labels } = cut;
  const mask = withoutNoiseHoles(cut.mask);
  const inside: Mask = { width: w + 2, height: h + 2, data: new Uint8Array((w + 2) * (h + 2)) };
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      const at = (y + y0) * mask.width + x + x0;
      if (labels[at] === label && mask.data[at]) inside.data[(y + 1) * inside.width + x + 1] = 1;
    }
  }
  return inside;
}

/** Owners within a piece as pieces of the whole cut. */
function asPieces(
  cut: LevelCut,
  { boxPx: [x0, y0, w, h] }: Piece,
  inside: Mask,
  owners: Int32Array,
  count: number,
): { cut: LevelCut; piece: Piece }[] {
  const labels = new Int32Array(cut.labels.length);
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      labels[(y + y0) * cut.mask.width + x + x0] = owners[(y + 1) * inside.width + x + 1] as number;
    }
  }
  const split = { ...cut, labels };
  return ownedPieces(cut.mask, labels, count).map((piece) => ({ cut: split, piece }));
}
