import type { Scale } from "../../../radiograph/radiograph.ts";

/** A length of the picture for a sentence: mm with a scale, else px. */
export function lengthText(px: number, { umPerPx }: Scale): string {
  if (umPerPx === null) return `${px < 10 ? px.toFixed(1) : px.toFixed(0)} px`;
  const mm = (px * umPerPx) / 1000;
  return `${mm.toFixed(mm < 0.1 ? 3 : 2)} mm`;
}
