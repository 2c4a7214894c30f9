import { mkdtempSync, readFileSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { codecs } from "../../src/cli/codecs.ts";
import { readPicture } from "../../src/formats/read-picture.ts";
import { demoLot, demoSeed } from "../../src/simulate/demo-lot.ts";
import { planLot } from "../../src/simulate/plan-lot.ts";
import { renderPicture } from "../../src/simulate/render-picture.ts";
import type { LotTruth } from "../../src/simulate/truth.ts";
import { lotTruth } from "../../src/simulate/truth.ts";
import type { CandlerRun } from "../support/candler.ts";
import { candler } from "../support/candler.ts";
import { projectRoot } from "../support/needs.ts";

const lot = join(projectRoot, "demo/lot");
const truth: LotTruth = JSON.parse(readFileSync(join(lot, "truth.json"), "utf8"));

describe("candler demo", () => {
  let folder: string;
  let run: CandlerRun;
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), "candler-demo-"));
    run = candler(folder, "demo");
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it("ends well, says that all of it is invented, writes the report and says where", () => {
    expect(run.stdout).toMatch(/^Demonstration on an invented lot and simulated pictures/);
    const path = /^Report: (.+\.html)$/m.exec(run.stdout)?.[1];
    expect(path).toBe(join("candler-out", "demo-lot.html"));
    expect(readFileSync(join(folder, "candler-out", "demo-lot.html"), "utf8")).toContain("INVENTED");
    expect(run.status).toBe(0);
  });

  it("names exactly the parts that differ in truth", () => {
    // Parts in a tray are numbered in reading order, as the simulator places them.
    const expected = truth.images.flatMap(({ file, parts }) =>
      parts.flatMap((part, i) => (part.suspect ? [`${file}#${i + 1}`] : [])),
    );
    const table = run.stdout.slice(run.stdout.indexOf("\nsuspect "), run.stdout.indexOf("\nmedian "));
    const named = table.match(/^tray_\d+\.tif#\d+/gm) ?? [];
    expect(expected).toHaveLength(3);
    expect([...named].sort()).toEqual(expected.sort());
    expect(run.stdout).toMatch(/^MIXED, 3 PARTS SUSPECT {3}24 parts found in 4 pictures, 24 judged$/m);
  });
});

describe("the demonstration lot", () => {
  it("is what its script makes: truth, and the samples of its pictures", async () => {
    const plan = planLot(demoLot, demoSeed);
    expect(truth).toEqual(JSON.parse(JSON.stringify(lotTruth(plan))));
    const made = renderPicture(plan, 3);
    const picture = await readPicture(readFileSync(join(lot, made.name)), { codecs });
    expect([picture.widthPx, picture.heightPx]).toEqual([made.width, made.height]);
    expect(picture.samples).toHaveLength(made.samples.length);
    // Another release of the engine may round a transcendental otherwise: a grey step here and there.
    const steps = Array.from(made.samples, (sample, i) => Math.abs(sample - picture.samples[i]));
    expect(Math.max(...steps.filter((step) => step > 0), 0)).toBeLessThanOrEqual(1);
    expect(steps.filter((step) => step > 0).length / steps.length).toBeLessThan(1e-3);
  });

  it("stays small", () => {
    const bytes = truth.images.reduce((sum, { file }) => sum + statSync(join(lot, file)).size, 0);
    expect(bytes).toBeLessThan(2_500_000);
  });
});
