import { readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, expect, it } from "vitest";
import type { ScenarioRun } from "./scenario-lot.ts";
import { drawLot, lotRun, scenarioFolder } from "./scenario-lot.ts";

const folder = scenarioFolder();
afterAll(() => rmSync(folder, { recursive: true, force: true }));

let clean: ScenarioRun;
let report: string;

beforeAll(() => {
  drawLot(folder, "sample", { variants: { A: 45 }, seed: 2 });
  clean = lotRun(folder, "sample", "--quantity", "3000", "--report", "sample.html");
  report = readFileSync(join(folder, "sample.html"), "utf8");
}, 120_000);

/**
 * 45 clean parts of 3000. Success: it is said what may remain, at most 6.4 % at 95 % (hypergeometric, computed for this
 * scenario by hand), what that assumes, and that no difference was found, which is not that there is none.
 */
it("2: says of a clean sample what may remain in the lot and what that assumes", () => {
  const { status, document } = clean;
  expect(status).toBe(0);
  expect(document.suspects).toEqual([]);
  expect(document.says).toMatch(/^No difference above .* found in the sample of 45 parts\./);
  const at95 = document.bounds.find(({ confidence }) => confidence === 0.95);
  expect(at95?.share).toBeLessThanOrEqual(0.064);
  expect(at95?.share).toBeGreaterThan(0.063);
  expect(document.assurance).toContain("at 95 % confidence at most");
  expect(document.assurance).toContain("drawn at random from a mixed lot");
  expect(report).toContain("What may remain in the lot");
});

/** No exemplar. Success: sameness within the sample is all that is said; nothing is called genuine or authentic. */
it("3: speaks of sameness only where there is no exemplar", () => {
  const { document } = clean;
  expect(document.identity).toBe("no-exemplar");
  expect(document.says).toContain("sameness within the sample only");
  const said = [document.says, document.assurance, ...document.next, ...document.remarks].join(" ");
  expect(said).not.toMatch(/genuine|authentic/i);
  expect(report).not.toMatch(/genuine/i);
  expect(report).toContain("never proves a part authentic");
});
