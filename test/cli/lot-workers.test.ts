import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { lotJobs, onlyAlone } from "../../src/cli/lot-jobs.ts";
import { usualWorkers } from "../../src/cli/lot-workers.ts";
import { runLot } from "../../src/cli/run-lot.ts";
import { noScale } from "../../src/radiograph/scale.ts";
import { projectRoot } from "../support/needs.ts";
import { smallLot, tiffOf } from "../support/small-lot.ts";

const bundled = pathToFileURL(join(projectRoot, "dist", "lot-worker.mjs"));
const silent = { step: () => {}, note: () => {}, end: () => {} };
let folder: string;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "candler-workers-"));
  const good = tiffOf(smallLot(null).picture);
  mkdirSync(join(folder, "lot"));
  // Unlike in size, so that answers come in another order than questions.
  writeFileSync(join(folder, "lot/tray_1.tif"), good);
  writeFileSync(join(folder, "lot/tray_2.tif"), good.subarray(0, 5000));
  writeFileSync(
    join(folder, "lot/tray_3.tif"),
    tiffOf(smallLot({ kind: "die-absent", attach: "none" }).picture),
  );
  writeFileSync(join(folder, "lot/tray_4.tif"), "no picture");
});

afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function documentBy(workers: number, script: URL = bundled) {
  const request = {
    inputs: [join(folder, "lot")],
    options: { scaleUmPerPx: null, bodyMm: null, quantity: null },
    flat: [],
    dark: [],
    json: null,
    report: null,
  };
  const { document } = await runLot(request, silent, { count: workers, script });
  return JSON.stringify({ ...document, run: null });
}

describe("a lot by worker threads", () => {
  let alone: string;
  beforeAll(async () => {
    alone = await documentBy(0);
  });

  it("is, byte by byte, the lot by one thread: order, numbers, and what could not be read", async () => {
    expect(JSON.parse(alone).parts).toHaveLength(18);
    expect(JSON.parse(alone).unreadable).toHaveLength(2);
    expect(await documentBy(1)).toBe(alone);
    expect(await documentBy(3)).toBe(alone);
  });

  it("is the same where no worker can be started", async () => {
    expect(await documentBy(2, pathToFileURL(join(folder, "nowhere.mjs")))).toBe(alone);
  });

  it("gives up a picture in which workers end, with the reason, and judges the rest", async () => {
    const script = join(folder, "ends.mjs");
    // The bundled worker, but for a picture that ends it.
    writeFileSync(
      script,
      `import { parentPort } from "node:worker_threads";
       parentPort.on("message", ({ job }) => { if (job.paired?.picture.endsWith("tray_3.tif")) process.exit(1); });
       await import(${JSON.stringify(bundled.href)});`,
    );
    const document = JSON.parse(await documentBy(2, pathToFileURL(script)));
    expect(document.pictures).toHaveLength(1);
    expect(document.parts).toHaveLength(9);
    expect(document.unreadable.map((u: { reason: string }) => u.reason)[1]).toMatch(/ended early, 2 times/);
  });
});

describe("the memory of a lot's workers", () => {
  it("is shared: a picture above a worker's share is looked at alone", async () => {
    const paired = { picture: join(folder, "lot/tray_1.tif"), flats: [], darks: [] };
    const job = { kind: "look", paired, request: { parts: "own" }, alone: false } as const;
    expect(await lotJobs({ scale: noScale, picturesAtOnce: 2 })(job)).toMatchObject({ facts: {} });
    const crowded = lotJobs({ scale: noScale, picturesAtOnce: 400 });
    expect(await crowded(job)).toBe(onlyAlone);
    expect(await crowded({ ...job, alone: true })).toMatchObject({ facts: { picture: paired.picture } });
  });

  it("bounds their number, and a single core gets none", () => {
    expect([1, 2, 3, 64].map(usualWorkers)).toEqual([0, 2, 3, 4]);
  });
});
