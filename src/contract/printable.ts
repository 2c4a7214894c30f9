/**
 * Text from files and paths made safe to show: control characters, line breaks and
 * direction overrides are shown as `\x1b` or `\u202e` instead of acting.
 */
export function printable(text: string): string {
  let safe = "";
  for (const character of text) {
    const code = character.codePointAt(0) ?? 0;
    safe += acts(code) ? escaped(code) : character;
  }
  return safe;
}

function acts(code: number): boolean {
  const control = code < 0x20 || (code >= 0x7f && code < 0xa0);
  const direction = (code >= 0x200b && code <= 0x200f) || (code >= 0x2028 && code <= 0x202e);
  const isolate = code >= 0x2066 && code <= 0x2069;
  const loneSurrogate = code >= 0xd800 && code <= 0xdfff;
  return control || direction || isolate || loneSurrogate || code === 0xfeff;
}

function escaped(code: number): string {
  const hex = code.toString(16);
  return code < 0x100 ? `\\x${hex.padStart(2, "0")}` : `\\u${hex.padStart(4, "0")}`;
}
