import { damaged } from "../errors.ts";

/**
 * Undo PNG row filters, leaving rows without their filter bytes.
 *
 * Works in place: `out` may begin at or before `raw` in the same buffer, since each row moves towards the start.
 *
 * @param raw `rows` rows of one filter byte and `rowBytes` of data
 * @param out `rows * rowBytes` long
 * @param pixelBytes bytes to the sample on the left: whole pixels, at least 1
 * @throws UnreadablePictureError damaged on an unknown filter
 * @see PNG specification, section 9
 */
export function unfilter(
  raw: Uint8Array,
  out: Uint8Array,
  rows: number,
  rowBytes: number,
  pixelBytes: number,
): void {
  for (let row = 0; row < rows; row++) {
    const from = row * (rowBytes + 1) + 1;
    const to = row * rowBytes;
    const filter = raw[from - 1];
    // Above the first row lie zeros: up is then none, Paeth is sub, average halves the left alone.
    if (filter === 0 || (filter === 2 && row === 0)) copyRow(raw, from, out, to, rowBytes);
    else if (filter === 1 || (filter === 4 && row === 0)) sub(raw, from, out, to, rowBytes, pixelBytes);
    else if (filter === 2) up(raw, from, out, to, rowBytes);
    else if (filter === 3) average(raw, from, out, to, rowBytes, pixelBytes, row === 0);
    else if (filter === 4) paeth(raw, from, out, to, rowBytes, pixelBytes);
    else throw damaged("PNG row filter 0 to 4", `Row ${row} has filter ${filter}`);
  }
}

function copyRow(raw: Uint8Array, from: number, out: Uint8Array, to: number, length: number): void {
  out.set(raw.subarray(from, from + length), to);
}

function sub(raw: Uint8Array, from: number, out: Uint8Array, to: number, length: number, step: number): void {
  for (let i = 0; i < step && i < length; i++) out[to + i] = raw[from + i];
  for (let i = step; i < length; i++) out[to + i] = raw[from + i] + out[to + i - step];
}

function up(raw: Uint8Array, from: number, out: Uint8Array, to: number, length: number): void {
  const above = to - length;
  for (let i = 0; i < length; i++) out[to + i] = raw[from + i] + out[above + i];
}

function average(
  raw: Uint8Array,
  from: number,
  out: Uint8Array,
  to: number,
  length: number,
  step: number,
  first: boolean,
): void {
  const above = to - length;
  for (let i = 0; i < length; i++) {
    const left = i < step ? 0 : out[to + i - step];
    out[to + i] = raw[from + i] + ((left + (first ? 0 : out[above + i])) >> 1);
  }
}

function paeth(
  raw: Uint8Array,
  from: number,
  out: Uint8Array,
  to: number,
  length: number,
  step: number,
): void {
  const above = to - length;
  for (let i = 0; i < step && i < length; i++) out[to + i] = raw[from + i] + out[above + i];
  for (let i = step; i < length; i++) {
    const left = out[to + i - step];
    const top = out[above + i];
    const corner = out[above + i - step];
    const toTop = top - corner;
    const toLeft = left - corner;
    const byLeft = toTop < 0 ? -toTop : toTop;
    const byTop = toLeft < 0 ? -toLeft : toLeft;
    const both = toTop + toLeft;
    const byCorner = both < 0 ? -both : both;
    out[to + i] =
      raw[from + i] + (byLeft <= byTop && byLeft <= byCorner ? left : byTop <= byCorner ? top : corner);
  }
}
