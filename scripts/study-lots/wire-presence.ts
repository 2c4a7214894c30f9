import type { LotDocumentPart } from "../../src/contract/lot-document.ts";
import { matchParts } from "../../src/simulate/match-parts.ts";
import type { Truth } from "../score-lots/truth.ts";
import { saidAs, toldAt } from "../score-lots/wires.ts";
import { truthContrastToNoise } from "./wire-contrast.ts";

/** Leads of whole, found parts by how right it was said whether they have a wire. */
export interface WirePresence {
  /** From this truth contrast-to-noise on, and below the next band's. */
  readonly fromCnr: number;
  readonly leads: number;
  readonly right: number;
  readonly wrong: number;
  /** Unclear or not assessable. */
  readonly open: number;
  /** Nothing said of a wire there. */
  readonly untold: number;
}

/** Bands of truth contrast-to-noise; the second starts where a wire can be seen (Rose, 1948, from memory). */
const bands = [0, 5, 10, 50] as const;

/**
 * What was said of each lead that has a wire in the truth, or should have one. Right: a wire that is there is seen,
 * one that is absent, broken or elsewhere is told so.
 */
export function wirePresence(truth: Truth, parts: readonly LotDocumentPart[]): WirePresence[] {
  const contrastToNoise = truthContrastToNoise(truth);
  const counts = bands.map((fromCnr) => ({ fromCnr, leads: 0, right: 0, wrong: 0, open: 0, untold: 0 }));
  const { matches } = matchParts(truth.images, parts);
  for (const { truth: part, file, found } of matches) {
    const picture = truth.images.find((image) => image.file === file);
    if (part.cut_by_edge || picture === undefined) continue;
    for (const wire of part.wires ?? []) {
      const cnr = contrastToNoise(picture, part.construction, wire.start_px, wire.end_px);
      const band = counts.findLast(({ fromCnr }) => cnr !== null && cnr >= fromCnr);
      if (band === undefined) continue;
      const told = found?.assessable ? toldAt(found, wire.end_px) : null;
      band.leads++;
      if (told === null) band.untold++;
      else if (told.state === "unclear" || told.state === "not-assessable") band.open++;
      else if (told.state === saidAs[wire.status]) band.right++;
      else band.wrong++;
    }
  }
  return counts.filter((band) => band.leads > 0);
}
