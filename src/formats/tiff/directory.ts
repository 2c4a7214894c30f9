import { damaged, tooLarge, truncated, unsupportedFeature } from "../errors.ts";
import type { Limits } from "../limits.ts";

/** Where the value of one tag lies. */
interface Field {
  readonly type: number;
  readonly count: number;
  readonly offset: number;
}

/** One page's tags. */
export interface Directory {
  /** The first `most` values of a tag, or fewer; undefined without the tag. @throws UnreadablePictureError */
  numbers(tag: number, most: number): ArrayLike<number> | undefined;
  /** First value of a tag, or `otherwise`. */
  number(tag: number, otherwise: number): number;
  has(tag: number): boolean;
}

/** The pages of a TIFF file, in file order. */
export interface TiffFile {
  readonly littleEndian: boolean;
  readonly directories: readonly Directory[];
  readonly notes: readonly string[];
}

const typeBytes: Readonly<Record<number, number>> = {
  1: 1,
  2: 1,
  3: 2,
  4: 4,
  5: 8,
  6: 1,
  7: 1,
  8: 2,
  9: 4,
  10: 8,
  11: 4,
  12: 8,
  13: 4,
  16: 8,
  17: 8,
  18: 8,
};

/** A directory never needs more: baseline, extensions and private tags together stay in the hundreds. */
const maxTags = 4096;

/**
 * Walk the pages of a classic or big TIFF file. Tag values are read only when asked for.
 *
 * @throws UnreadablePictureError truncated, damaged or too-large
 */
export function openTiff(bytes: Uint8Array, limits: Limits): TiffFile {
  if (bytes.length < 8) throw truncated(bytes.length, 8, "the TIFF header");
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const littleEndian = bytes[0] === 0x49;
  const big = view.getUint16(2, littleEndian) === 43;
  if (big && bytes.length < 16) throw truncated(bytes.length, 16, "the BigTIFF header");
  if (big && view.getUint16(4, littleEndian) !== 8)
    throw damaged("BigTIFF offsets of 8 bytes", "The BigTIFF header names another size");
  const reader: Reader = { bytes, view, littleEndian, big };

  const directories: Directory[] = [];
  const notes: string[] = [];
  const visited = new Set<number>();
  let allTagBytes = 0;
  let offset = big ? readLong8(reader, 8) : view.getUint32(4, littleEndian);
  while (offset !== 0) {
    if (visited.has(offset)) {
      notes.push(`the page list loops after page ${directories.length}: later pages are out of reach`);
      break;
    }
    visited.add(offset);
    if (directories.length >= limits.maxPages)
      throw tooLarge(`at most ${limits.maxPages} pages`, "The file lists more pages");
    const { directory, next, tagBytes } = readDirectory(reader, offset);
    directories.push(directory);
    // Pages that overlap could list the same bytes as tags again and again.
    allTagBytes += tagBytes;
    if (allTagBytes > bytes.length) throw damaged("pages with tags of their own", "Pages share their tags");
    offset = next;
  }
  if (directories.length === 0) throw damaged("at least one page", "The TIFF file has no page");
  return { littleEndian, directories, notes };
}

interface Reader {
  readonly bytes: Uint8Array;
  readonly view: DataView;
  readonly littleEndian: boolean;
  readonly big: boolean;
}

function readLong8({ view, littleEndian }: Reader, at: number): number {
  const value = Number(view.getBigUint64(at, littleEndian));
  if (!Number.isSafeInteger(value))
    throw damaged("offsets inside the file", `The file points to byte ${value}`);
  return value;
}

function readDirectory(
  reader: Reader,
  offset: number,
): { directory: Directory; next: number; tagBytes: number } {
  const { bytes, view, littleEndian, big } = reader;
  const countBytes = big ? 8 : 2;
  const entryBytes = big ? 20 : 12;
  if (offset + countBytes > bytes.length) throw truncated(bytes.length, offset + countBytes, "a page's tags");
  const count = big ? readLong8(reader, offset) : view.getUint16(offset, littleEndian);
  if (count === 0 || count > maxTags)
    throw damaged(`1 to ${maxTags} tags in a page`, `A page claims ${count} tags`);
  const end = offset + countBytes + count * entryBytes;
  if (end > bytes.length) throw truncated(bytes.length, end, "a page's tags");

  const fields = new Map<number, Field>();
  for (let entry = 0; entry < count; entry++) {
    const at = offset + countBytes + entry * entryBytes;
    const tag = view.getUint16(at, littleEndian);
    const type = view.getUint16(at + 2, littleEndian);
    const valueCount = big
      ? Number(view.getBigUint64(at + 4, littleEndian))
      : view.getUint32(at + 4, littleEndian);
    const inlineAt = at + (big ? 12 : 8);
    const size = (typeBytes[type] ?? 0) * valueCount;
    const fits = size <= (big ? 8 : 4);
    const valueAt = fits
      ? inlineAt
      : big
        ? Number(view.getBigUint64(inlineAt, littleEndian))
        : view.getUint32(inlineAt, littleEndian);
    if (!fields.has(tag)) fields.set(tag, { type, count: valueCount, offset: valueAt });
  }
  const nextBytes = big ? 8 : 4;
  // Some writers end the file right after the last page's tags: no further page then.
  const next =
    end + nextBytes > bytes.length ? 0 : big ? readLong8(reader, end) : view.getUint32(end, littleEndian);
  return { directory: directoryOf(reader, fields), next, tagBytes: count * entryBytes };
}

function directoryOf(reader: Reader, fields: ReadonlyMap<number, Field>): Directory {
  const numbers = (tag: number, most: number): ArrayLike<number> | undefined => {
    const field = fields.get(tag);
    return field === undefined ? undefined : fieldNumbers(reader, tag, field, most);
  };
  return {
    numbers,
    number: (tag, otherwise) => numbers(tag, 1)?.[0] ?? otherwise,
    has: (tag) => fields.has(tag),
  };
}

/** Rationals come as their quotient. */
function fieldNumbers(reader: Reader, tag: number, field: Field, most: number): Float64Array {
  const { bytes, view, littleEndian } = reader;
  const width = typeBytes[field.type];
  if (width === undefined)
    throw unsupportedFeature(`TIFF tag ${tag} of type ${field.type}`, "a tag type of TIFF 6.0 or BigTIFF");
  const end = field.offset + width * field.count;
  if (end > bytes.length) throw truncated(bytes.length, end, `tag ${tag}`);
  const out = new Float64Array(Math.min(field.count, most));
  for (let i = 0; i < out.length; i++) {
    const at = field.offset + i * width;
    switch (field.type) {
      case 1:
      case 2:
      case 7:
        out[i] = view.getUint8(at);
        break;
      case 3:
        out[i] = view.getUint16(at, littleEndian);
        break;
      case 4:
      case 13:
        out[i] = view.getUint32(at, littleEndian);
        break;
      case 5:
        out[i] = view.getUint32(at, littleEndian) / view.getUint32(at + 4, littleEndian);
        break;
      case 6:
        out[i] = view.getInt8(at);
        break;
      case 8:
        out[i] = view.getInt16(at, littleEndian);
        break;
      case 9:
        out[i] = view.getInt32(at, littleEndian);
        break;
      case 10:
        out[i] = view.getInt32(at, littleEndian) / view.getInt32(at + 4, littleEndian);
        break;
      case 11:
        out[i] = view.getFloat32(at, littleEndian);
        break;
      case 12:
        out[i] = view.getFloat64(at, littleEndian);
        break;
      case 17:
        out[i] = Number(view.getBigInt64(at, littleEndian));
        break;
      default:
        out[i] = Number(view.getBigUint64(at, littleEndian));
    }
  }
  return out;
}
