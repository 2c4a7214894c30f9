import { rmSync } from "node:fs";
import { afterAll, beforeAll, expect, it } from "vitest";
import type { LotDocument } from "../../src/contract/lot-document.ts";
import { constructionOf } from "../../src/simulate/packages/families.ts";
import { twoExposures, usualExposure } from "../../src/simulate/usual-lot.ts";
import { drawLot, lotRun, scenarioFolder } from "./scenario-lot.ts";

const folder = scenarioFolder();
afterAll(() => rmSync(folder, { recursive: true, force: true }));

beforeAll(() => {
  drawLot(folder, "plain", { variants: { A: 9 } });
});

const units = ({ parts }: LotDocument) =>
  new Set(parts.flatMap(({ measurements }) => Object.values(measurements).map(({ unit }) => unit)));

/** No scale in the pictures. Success: px and ratios; mm only after a reference length, and then with an uncertainty. */
it("8: gives px and ratios without a scale, and mm with U once the body's size is given", () => {
  const without = lotRun(folder, "plain").document;
  expect(units(without).has("mm")).toBe(false);
  expect(without.pictures.every(({ scale }) => scale.origin === "none")).toBe(true);
  expect(without.parts.every(({ relativeScale }) => Math.abs(relativeScale - 1) < 0.02)).toBe(true);
  const { document } = lotRun(folder, "plain", "--body-mm", "4.9x3.9");
  for (const { measurements } of document.parts) {
    const { bodyLength, padLength } = measurements;
    expect(bodyLength?.unit).toBe("mm");
    if (padLength?.value === null || padLength === undefined) continue;
    expect(padLength.unit).toBe("mm");
    expect(padLength.U).toBeGreaterThan(0);
  }
  expect(document.parts.some(({ measurements }) => measurements.padLength?.value != null)).toBe(true);
});

/**
 * One lot at two exposures (other kV, filter and grey level). Success: one construction, and the same part at two kV has
 * the same die size within its uncertainty; that the exposures differ does not make a split.
 */
it("10: sees one construction at two exposures, with one die size within U", () => {
  const exposures = twoExposures(usualExposure.kv);
  drawLot(folder, "mixed", { variants: { A: 18 }, changes: { exposures, mmPerPx: 0.02 }, seed: 4 });
  const { document } = lotRun(folder, "mixed");
  expect(document.groups).toHaveLength(1);
  expect(document.conclusion).toBe("consistent");
  expect(document.lotSuspect.value).toBe(false);
  // The same draw of chance, so the same parts, at either exposure alone.
  const sizes = exposures.map((exposure, at) => {
    drawLot(folder, `kv${at}`, {
      variants: { A: 9 },
      changes: { exposures: [exposure], mmPerPx: 0.02 },
      seed: 5,
    });
    return lotRun(folder, `kv${at}`).document.parts.map(({ measurements }) => measurements);
  });
  let compared = 0;
  for (const name of ["dieLength", "dieWidth"] as const) {
    const [soft, hard] = sizes.map((parts) => parts.map((own) => own[name]));
    const apart = (soft ?? []).flatMap((a, at) => {
      const b = hard?.[at];
      return a?.value == null || b?.value == null ? [] : [Math.abs(a.value - b.value) / Math.hypot(a.U, b.U)];
    });
    compared += apart.length;
    expect(apart.filter((times) => times > 1).length).toBeLessThanOrEqual(1);
  }
  expect(compared).toBeGreaterThan(10);
});

/**
 * Aluminium wires, which hardly show. Success: wires are not assessable by this technique, no part is called for one, and
 * another test is proposed.
 */
it("11: calls aluminium wires not assessable and proposes another test", () => {
  drawLot(folder, "aluminium", {
    variants: { A: 12 },
    family: "SO-16",
    changes: {
      constructions: [{ construction: aluminiumWired(), count: 12 }],
      layout: { kind: "tape", columns: 4, quarters: 1 },
    },
  });
  const { document } = lotRun(folder, "aluminium");
  const wires = document.compared.find(({ characteristic }) => characteristic === "wiresSeen");
  expect(wires?.assessable).toBe(false);
  expect(document.parts.flatMap(({ calls }) => calls).filter(({ kind }) => kind.startsWith("wire"))).toEqual(
    [],
  );
  expect(document.next.join(" ")).toMatch(/cannot be assessed by this technique.*acoustic microscopy/);
});

function aluminiumWired() {
  return constructionOf("g0", "SO-16", "A", { wire: { material: "aluminium", diameterMm: 0.025 } });
}
