import { damaged, tooLarge, truncated } from "../errors.ts";

/** One chunk: its four-letter type and its data. */
export interface Chunk {
  readonly type: string;
  readonly data: Uint8Array;
  /** False when the checksum is wrong; only chunks a decoder may ignore get that far. */
  readonly sound: boolean;
}

/** Enough for 128 MiB of image data in pieces of 512 bytes, far below what writers make. */
const maxChunks = 262_144;

/**
 * The chunks of a PNG file up to IEND. What follows IEND is ignored.
 *
 * A wrong checksum on a critical chunk is an error; on an ancillary chunk it only marks that chunk.
 *
 * @throws UnreadablePictureError truncated or damaged
 */
export function readChunks(bytes: Uint8Array, crc32: (bytes: Uint8Array) => number): Chunk[] {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const chunks: Chunk[] = [];
  let at = 8;
  for (;;) {
    if (chunks.length >= maxChunks) throw tooLarge(`at most ${maxChunks} PNG chunks`, "The file has more");
    if (at + 12 > bytes.length)
      throw truncated(bytes.length, at + 12, "the next PNG chunk (no IEND was met)");
    const length = view.getUint32(at);
    const type = String.fromCharCode(bytes[at + 4], bytes[at + 5], bytes[at + 6], bytes[at + 7]);
    if (!/^[A-Za-z]{4}$/.test(type))
      throw damaged("a PNG chunk type of four letters", `Byte ${at + 4} starts something else`);
    if (length > 0x7fffffff)
      throw damaged("a PNG chunk length below 2^31", `Chunk ${type} claims ${length} bytes`);
    const end = at + 12 + length;
    if (end > bytes.length) throw truncated(bytes.length, end, `PNG chunk ${type}`);
    const sound = crc32(bytes.subarray(at + 4, at + 8 + length)) === view.getUint32(at + 8 + length);
    const critical = (bytes[at + 4] & 32) === 0;
    if (!sound && critical)
      throw damaged(
        `a right checksum on PNG chunk ${type}`,
        `The checksum of ${type} at byte ${at} is wrong`,
      );
    if (type === "IDAT" && chunks.at(-1)?.type !== "IDAT" && chunks.some((chunk) => chunk.type === "IDAT")) {
      throw damaged(
        "image data (IDAT) in one run of chunks",
        `Another chunk stands before the IDAT at byte ${at}`,
      );
    }
    chunks.push({ type, data: bytes.subarray(at + 8, at + 8 + length), sound });
    if (type === "IEND") return chunks;
    at = end;
  }
}
