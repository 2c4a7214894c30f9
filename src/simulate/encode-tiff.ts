/**
 * A single-page grey TIFF (6.0, little-endian, one strip).
 *
 * @param samples row-major, `width * height`; values fit in `bits`
 * @param deflate zlib compressor, handed in; without it the strip is not compressed
 * @param description plain ASCII for the picture's description; none without it
 * @returns the file's bytes
 */
export function encodeTiff(
  samples: Uint16Array,
  width: number,
  height: number,
  bits: 8 | 16,
  minIsWhite: boolean,
  deflate?: (bytes: Uint8Array) => Uint8Array,
  description = "",
): Uint8Array {
  const raw = new Uint8Array((samples.length * bits) / 8);
  if (bits === 8) raw.set(samples);
  else {
    for (let i = 0; i < samples.length; i++) {
      raw[2 * i] = samples[i] & 255;
      raw[2 * i + 1] = samples[i] >> 8;
    }
  }
  const strip = deflate === undefined ? raw : deflate(raw);
  const ASCII = 2;
  const SHORT = 3;
  const LONG = 4;
  const stripOffset = 8;
  const textOffset = stripOffset + strip.length + (strip.length % 2);
  // With its closing zero, filled up to an even number of bytes.
  const textLength = description === "" ? 0 : description.length + 1;
  const entries: [tag: number, type: number, value: number, count?: number][] = [
    [256, LONG, width],
    [257, LONG, height],
    [258, SHORT, bits],
    [259, SHORT, deflate === undefined ? 1 : 8],
    [262, SHORT, minIsWhite ? 0 : 1],
    ...(textLength > 0 ? ([[270, ASCII, textOffset, textLength]] as [number, number, number, number][]) : []),
    [273, LONG, stripOffset],
    [277, SHORT, 1],
    [278, LONG, height],
    [279, LONG, strip.length],
  ];
  const directory = textOffset + textLength + (textLength % 2);
  const file = new Uint8Array(directory + 2 + 12 * entries.length + 4);
  const view = new DataView(file.buffer);
  view.setUint16(0, 0x4949, true);
  view.setUint16(2, 42, true);
  view.setUint32(4, directory, true);
  file.set(strip, stripOffset);
  for (let i = 0; i < description.length; i++) file[textOffset + i] = description.charCodeAt(i);
  view.setUint16(directory, entries.length, true);
  entries.forEach(([tag, type, value, count = 1], i) => {
    const at = directory + 2 + 12 * i;
    view.setUint16(at, tag, true);
    view.setUint16(at + 2, type, true);
    view.setUint32(at + 4, count, true);
    if (type === SHORT) view.setUint16(at + 8, value, true);
    else view.setUint32(at + 8, value, true);
  });
  return file;
}
