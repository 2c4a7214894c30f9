import { damaged, tooLarge, truncated } from "../errors.ts";
import type { Limits } from "../limits.ts";
import type { Directory } from "./directory.ts";
import type { TiffLayout } from "./layout.ts";
import { tag } from "./tags.ts";

/** More strips or tiles in a plane than any writer makes of the pixels allowed. */
const maxSegments = 1_000_000;

/** Bytes that one row of a segment takes: rows start on a byte. */
export function segmentRowBytes(layout: TiffLayout): number {
  const { segmentWidthPx, channels, planar, bits } = layout;
  return Math.ceil((segmentWidthPx * (planar ? 1 : channels) * bits) / 8);
}

/** Strips or tiles: their size and number. @throws UnreadablePictureError damaged or too-large */
export function readSegmentSize(directory: Directory, widthPx: number, heightPx: number, limits: Limits) {
  const tiled = directory.has(tag.tileWidth) || directory.has(tag.tileOffsets);
  const segmentWidthPx = tiled ? directory.number(tag.tileWidth, 0) : widthPx;
  const rows = tiled ? directory.number(tag.tileLength, 0) : directory.number(tag.rowsPerStrip, heightPx);
  if (!(segmentWidthPx >= 1 && rows >= 1))
    throw damaged(
      "strips or tiles of at least 1 x 1",
      `Its strips or tiles are ${segmentWidthPx} x ${rows} pixels`,
    );
  const segmentHeightPx = tiled ? rows : Math.min(rows, heightPx);
  const across = Math.ceil(widthPx / segmentWidthPx);
  const down = Math.ceil(heightPx / segmentHeightPx);
  // Tiles reach beyond the edge: what is decoded may pass what is shown, but not by much.
  const paddedPixels = across * segmentWidthPx * down * segmentHeightPx;
  if (paddedPixels > Math.max(limits.maxPixels, 2 * widthPx * heightPx)) {
    throw tooLarge(`at most ${limits.maxPixels} pixels in tiles`, `The tiles claim ${paddedPixels} pixels`);
  }
  if (across * down > maxSegments) {
    throw tooLarge(`at most ${maxSegments} strips or tiles`, `The page claims ${across * down}`);
  }
  return { tiled, segmentWidthPx, segmentHeightPx, across, down };
}

/**
 * Where each strip or tile lies, every one inside the file.
 *
 * @throws UnreadablePictureError damaged, or truncated when one reaches beyond the file
 */
export function readSegments(
  directory: Directory,
  layout: TiffLayout,
  fileBytes: number,
): Pick<TiffLayout, "offsets" | "byteCounts"> {
  const { tiled, across, down, planar, channels } = layout;
  const word = tiled ? "tile" : "strip";
  const count = across * down * (planar ? channels : 1);
  const offsets =
    directory.numbers(tiled ? tag.tileOffsets : tag.stripOffsets, count) ??
    directory.numbers(tag.stripOffsets, count);
  if (offsets === undefined) throw damaged(`${word} offsets`, `The TIFF page has no ${word} offsets`);
  if (offsets.length < count)
    throw damaged(`${count} ${word}s`, `The TIFF page lists ${offsets.length} ${word} offsets`);
  const given =
    directory.numbers(tiled ? tag.tileByteCounts : tag.stripByteCounts, count) ??
    directory.numbers(tag.stripByteCounts, count);
  const byteCounts = new Float64Array(count);
  const rowBytes = segmentRowBytes(layout);
  for (let i = 0; i < count; i++) {
    const rows = segmentRows(layout, i);
    const whole = rows * rowBytes;
    const bytes = given?.[i] ?? 0;
    // Old writers leave the count out or at zero: without compression it follows from the size.
    byteCounts[i] =
      bytes > 0
        ? bytes
        : layout.compression === "none"
          ? whole
          : Math.max(0, count === 1 ? fileBytes - offsets[i] : 0);
    if (layout.compression === "none") {
      if (bytes > 0 && bytes < whole)
        throw damaged(`${whole} bytes in ${word} ${i + 1} of ${count}`, `It holds ${bytes}`);
      byteCounts[i] = whole;
    }
    if (byteCounts[i] === 0 || offsets[i] === 0)
      throw damaged(`data in ${word} ${i + 1} of ${count}`, "It is empty");
    const end = offsets[i] + byteCounts[i];
    if (end > fileBytes) throw truncated(fileBytes, end, `${word} ${i + 1} of ${count}`);
  }
  return { offsets, byteCounts };
}

/** Rows that segment `index` really holds: the last strip is shorter, tiles are always whole. */
export function segmentRows(layout: TiffLayout, index: number): number {
  const { tiled, segmentHeightPx, heightPx, across, down } = layout;
  if (tiled) return segmentHeightPx;
  const row0 = Math.floor((index % (across * down)) / across) * segmentHeightPx;
  return Math.min(segmentHeightPx, heightPx - row0);
}
