import { deflateSync, crc32 as nodeCrc32 } from "node:zlib";
import { crc32 as ownCrc32 } from "../formats/png/crc32.ts";
import type { Image8 } from "../report/display-picture.ts";

const signature = Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a);
const colourTypes = { 1: 0, 3: 2, 4: 6 } as const;
const filterCount = 5;

/**
 * An 8-bit PNG (ISO/IEC 15948), grey, RGB or RGBA. Each row takes the filter with the smallest sum of
 * absolute differences; the same picture gives the same bytes.
 */
export function encodePng({ width, height, data, channels }: Image8): Uint8Array {
  const header = new Uint8Array(13);
  const view = new DataView(header.buffer);
  view.setUint32(0, width);
  view.setUint32(4, height);
  header.set([8, colourTypes[channels], 0, 0, 0], 8);
  const packed = deflateSync(filterRows(data, width * channels, height, channels), { level: 9 });
  const chunks = [chunk("IHDR", header), chunk("IDAT", packed), chunk("IEND", new Uint8Array(0))];
  return Uint8Array.from(Buffer.concat([signature, ...chunks]));
}

function filterRows(data: Uint8Array, rowBytes: number, height: number, step: number): Uint8Array {
  const out = new Uint8Array((rowBytes + 1) * height);
  const trial = new Uint8Array(rowBytes);
  for (let y = 0; y < height; y++) {
    let least = Number.POSITIVE_INFINITY;
    for (let filter = 0; filter < filterCount; filter++) {
      const cost = filterRow(data, y, rowBytes, step, filter, trial);
      if (cost >= least) continue;
      least = cost;
      out[y * (rowBytes + 1)] = filter;
      out.set(trial, y * (rowBytes + 1) + 1);
    }
  }
  return out;
}

function filterRow(
  data: Uint8Array,
  y: number,
  rowBytes: number,
  step: number,
  filter: number,
  out: Uint8Array,
): number {
  const row = y * rowBytes;
  let cost = 0;
  for (let x = 0; x < rowBytes; x++) {
    const left = x >= step ? data[row + x - step] : 0;
    const above = y > 0 ? data[row + x - rowBytes] : 0;
    const corner = x >= step && y > 0 ? data[row + x - rowBytes - step] : 0;
    const value = (data[row + x] - predicted(filter, left, above, corner)) & 255;
    out[x] = value;
    cost += value < 128 ? value : 256 - value;
  }
  return cost;
}

function predicted(filter: number, left: number, above: number, corner: number): number {
  if (filter === 0) return 0;
  if (filter === 1) return left;
  if (filter === 2) return above;
  if (filter === 3) return (left + above) >> 1;
  const estimate = left + above - corner;
  const [toLeft, toAbove, toCorner] = [
    Math.abs(estimate - left),
    Math.abs(estimate - above),
    Math.abs(estimate - corner),
  ];
  if (toLeft <= toAbove && toLeft <= toCorner) return left;
  return toAbove <= toCorner ? above : corner;
}

function chunk(type: string, data: Uint8Array): Uint8Array {
  const out = Buffer.alloc(data.length + 12);
  out.writeUInt32BE(data.length, 0);
  out.write(type, 4, "latin1");
  out.set(data, 8);
  out.writeUInt32BE(crc32(out.subarray(4, data.length + 8)), data.length + 8);
  return out;
}

/** Node's own from 20.15 on, else ours. */
function crc32(bytes: Uint8Array): number {
  return typeof nodeCrc32 === "function" ? nodeCrc32(bytes) : ownCrc32(bytes);
}
