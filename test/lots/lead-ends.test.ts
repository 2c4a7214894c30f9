import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { applyMap, composeMaps } from "../../src/align/similarity.ts";
import { radiographLoader } from "../../src/cli/load-radiograph.ts";
import { gatherParts } from "../../src/inspections/lot/finding/gather-parts.ts";
import { bodyLevels, lookInsideBody } from "../../src/inspections/lot/measuring/inside-body.ts";
import { intoFrame, lotFrame, referenceMap } from "../../src/inspections/lot/placing/align-lot.ts";
import { readLeadFrame } from "../../src/inspections/wires/lead-frame.ts";
import { noScale } from "../../src/radiograph/scale.ts";
import { describeNeeding, needsShared, sharedPath } from "../support/needs.ts";

// The truth is written by the simulation that drew the pictures: it shares no code with the inspection. "paddle(fused)"
// in a construction's wire map: the lead of that pin is one piece with the pad.

interface Truth {
  readonly constructions: Record<string, { readonly wire_map: Record<string, readonly string[]> }>;
  readonly images: readonly {
    readonly parts: readonly {
      readonly construction: string;
      readonly leads: readonly { readonly pin: number; readonly tip_px: [number, number] }[];
    }[];
  }[];
}

for (const folder of ["A7", "A8"]) {
  describeNeeding(needsShared(`simulated/${folder}`), `leads of single parts, ${folder}`, () => {
    const truth: Truth = JSON.parse(readFileSync(sharedPath(`simulated/${folder}/truth.json`), "utf8"));
    truth.images.forEach((image, k) => {
      it(`has every lead end of picture ${k} found, and those fused to the pad told`, async () => {
        const path = sharedPath(`simulated/${folder}/part_00${k}.tif`);
        const load = radiographLoader(noScale);
        const source = { picture: path, load: () => load({ picture: path, flats: [], darks: [] }) };
        const item = (await gatherParts([source], () => {})).items[0];
        if (!item) throw new Error("no part was found");
        const frame = lotFrame(item.patch);
        const map = referenceMap(frame, item.patch);
        const picture = intoFrame(frame, item.patch, map);
        const { die, pad } = lookInsideBody(picture, frame.body, item.picture.openNoise);
        const { leads: tips } = readLeadFrame(picture, {
          body: frame.body,
          die: die ?? pad ?? frame.body,
          metalLevel: bodyLevels(picture, frame.body).between,
        });
        const toPicture = composeMaps(item.patch.toPicture, map);
        const part = image.parts[0] as Truth["images"][number]["parts"][number];
        const wires = truth.constructions[part.construction]?.wire_map ?? {};
        expect(tips).toHaveLength(part.leads.length);
        const fused = part.leads.filter(({ tip_px: [x, y] }) => {
          const off = (tip: (typeof tips)[number]) => {
            const [u, v] = applyMap(toPicture, tip.tipPx);
            return Math.hypot(u - x, v - y);
          };
          const nearest = tips.reduce((best, tip) => (off(tip) < off(best) ? tip : best));
          if (nearest.fusedToPad === false) expect(off(nearest)).toBeLessThan(25);
          return nearest.fusedToPad;
        });
        expect(fused.map((lead) => lead.pin)).toEqual(
          part.leads.map((l) => l.pin).filter((pin) => wires[pin]?.includes("paddle(fused)")),
        );
      });
    });
  });
}
