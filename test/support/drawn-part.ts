import type { Slab } from "./drawn-radiograph.ts";
import { slab } from "./drawn-radiograph.ts";

/** Sizes of `drawnPart`, px. */
export const drawnPartPx = {
  body: [120, 80],
  pad: [60, 40],
  die: [36, 24],
  leads: 8,
  pitch: 24,
  reach: 56,
} as const;

/**
 * An invented part of known truth, lying straight around 0, 0: a moulded body 120 x 80 of attenuation 0.4, a pad
 * 60 x 40 of 0.8 on top, a die 36 x 24 of 0.3 on that, four leads 10 wide on each long side, reaching 16 beyond the
 * body, and one dense mark near its top left corner, so that every turn and its mirror image look otherwise.
 */
export function drawnPart(without: "nothing" | "die" | "mark" = "nothing"): Slab[] {
  const at = (attenuation: number, [x, y]: readonly [number, number], [w, h]: readonly [number, number]) =>
    slab(attenuation, [x - (w - 1) / 2, y - (h - 1) / 2], [x + (w - 1) / 2, y + (h - 1) / 2]);
  const leads = [-36, -12, 12, 36].flatMap((x) => [at(0.8, [x, -48], [10, 16]), at(0.8, [x, 48], [10, 16])]);
  return [
    at(0.4, [0, 0], drawnPartPx.body),
    at(0.8, [0, 0], drawnPartPx.pad),
    ...(without === "die" ? [] : [at(0.3, [0, 0], drawnPartPx.die)]),
    ...(without === "mark" ? [] : [at(0.8, [-44, -26], [16, 12])]),
    ...leads,
  ];
}
