import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { lotDocumentSchema } from "../../src/contract/lot-document.ts";
import { candler } from "../support/candler.ts";
import { smallLot, tiffOf } from "../support/small-lot.ts";

let folder: string;
const clean = smallLot(null);
const mixed = smallLot({ kind: "die-absent", attach: "none" });
/** The one part without a die, as `candler` numbers it: parts lie in reading order. */
const suspect = mixed.truth.images[0].parts.findIndex((part) => part.suspect) + 1;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "candler-lot-"));
  for (const name of ["clean", "mixed", "partly", "broken", "empty", "notes"]) mkdirSync(join(folder, name));
  writeFileSync(join(folder, "clean/tray.tif"), tiffOf(clean.picture));
  writeFileSync(join(folder, "mixed/tray.tif"), tiffOf(mixed.picture));
  writeFileSync(join(folder, "partly/tray.tif"), tiffOf(clean.picture));
  writeFileSync(join(folder, "partly/torn.tif"), tiffOf(clean.picture).subarray(0, 5000));
  writeFileSync(join(folder, "broken/torn.tif"), tiffOf(clean.picture).subarray(0, 5000));
  writeFileSync(join(folder, "notes/truth.json"), "{}");
});

afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** The one document on standard output, checked by its schema. */
function documentOf(stdout: string) {
  return lotDocumentSchema.parse(JSON.parse(stdout));
}

describe("candler lot ends with", () => {
  it("0 when every picture was judged and nothing was objected to", () => {
    const { status, stdout, stderr } = candler(folder, "lot", "clean");
    expect(stdout).toMatch(/^NO DIFFERENCE FOUND/);
    expect(stdout).toContain("No part is named suspect.");
    expect(stderr).toBe("");
    expect(status).toBe(0);
  });

  it("1 when a part is suspect, and names that part", () => {
    const { status, stdout } = candler(folder, "lot", "mixed", "--json", "-");
    expect(suspect).toBeGreaterThan(0);
    expect(documentOf(stdout).suspects).toEqual([`mixed/tray.tif#${suspect}`]);
    expect(status).toBe(1);
  });

  it("1 when a part is suspect and a file unreadable", () => {
    const { status, stdout } = candler(folder, "lot", "mixed", "broken/torn.tif", "--json", "-");
    const document = documentOf(stdout);
    expect(document.unreadable.map(({ picture }) => picture)).toEqual(["broken/torn.tif"]);
    expect(document.suspects).toHaveLength(1);
    expect(status).toBe(1);
  });

  it("3 when one file among readable ones is unreadable: the rest is judged", () => {
    const { status, stdout, stderr } = candler(folder, "lot", "partly", "--json", "-");
    const document = documentOf(stdout);
    expect(document.conclusion).toBe("consistent");
    expect(document.parts).toHaveLength(9);
    expect(document.pictures.map(({ picture }) => picture)).toEqual(["partly/tray.tif"]);
    expect(document.unreadable).toEqual([
      { picture: "partly/torn.tif", reason: expect.stringMatching(/5000 bytes|ends|stops|missing/i) },
    ]);
    expect(stderr).toMatch(/^partly\/torn\.tif: /);
    expect(status).toBe(3);
  });

  it("3 when parts were found but none could be judged", () => {
    // Beside one part alone there is nothing to compare it with.
    const { picture, truth } = clean;
    const [x, y] = truth.images[0].parts[0].center_px.map(Math.round);
    const half = 125;
    const samples = new Uint16Array(4 * half * half).fill(3400);
    for (let row = 0; row < 2 * half; row++)
      for (let column = 0; column < 2 * half; column++) {
        const from = (y - half + row) * picture.width + (x - half + column);
        if (y - half + row >= 0 && x - half + column >= 0)
          samples[row * 2 * half + column] = picture.samples[from];
      }
    writeFileSync(
      join(folder, "one.tif"),
      tiffOf({ ...picture, samples, width: 2 * half, height: 2 * half }),
    );
    const { status, stdout } = candler(folder, "lot", "one.tif", "--json", "-");
    expect(documentOf(stdout).conclusion).toBe("not-assessable");
    expect(status).toBe(3);
  });

  it("2 when nothing was readable", () => {
    const { status, stdout } = candler(folder, "lot", "broken", "--json", "-");
    const document = documentOf(stdout);
    expect(document.pictures).toEqual([]);
    expect(document.unreadable).toHaveLength(1);
    expect(document.conclusion).toBe("not-assessable");
    expect(status).toBe(2);
  });

  it.each([
    [[], "A command is needed"],
    [["judge"], 'no command "judge"'],
    [["lot"], "No pictures were given"],
    [["lot", "clean", "--fast"], "--fast"],
    [["lot", "clean", "--scale-um", "wide"], '--scale-um takes a number above 0, not "wide"'],
    [["lot", "clean", "--scale-um", "-3"], "--scale-um"],
    [["lot", "clean", "--quantity", "2.5"], "whole number"],
    [["lot", "clean", "--body-mm", "4.9"], "--body-mm"],
    [["lot", "nowhere"], '"nowhere" is no file'],
    [["lot", "clean/*.png"], "clean/*.png"],
    [["lot", "empty"], 'folder "empty" holds no pictures'],
    [["lot", "notes"], 'folder "notes" holds no pictures'],
    [["demo", "--fast"], "demo takes only"],
  ])("2 for wrong use: %j", (args, says) => {
    const { status, stdout, stderr } = candler(folder, ...args);
    expect(stderr).toContain(says);
    expect(stdout).toBe("");
    expect(status).toBe(2);
  });

  it("2, never 1, when its result cannot be written", () => {
    const { status, stderr } = candler(folder, "lot", "clean", "--json", "clean");
    expect(stderr).toContain("EISDIR");
    expect(status).toBe(2);
  });
});

describe("candler lot writes", () => {
  it("one document to standard output and nothing else, report and all", () => {
    const { stdout } = candler(folder, "lot", "mixed", "--json", "-", "--report", "out/new/lot.html");
    const document = documentOf(stdout);
    expect(document.schema).toBe("candler.lot/1");
    expect(document.pictures[0].sha256).toMatch(/^[0-9a-f]{64}$/);
    const report = readFileSync(join(folder, "out/new/lot.html"), "utf8");
    expect(report).toContain(`tray.tif#${suspect}`);
    expect(report).toContain(document.pictures[0].sha256);
  });

  it("the document to a file, the table to standard output, and says where the report is", () => {
    const { stdout } = candler(folder, "lot", "clean", "--json", "out.json", "--report", "lot.html");
    const written = documentOf(readFileSync(join(folder, "out.json"), "utf8"));
    expect(stdout).toMatch(/^NO DIFFERENCE FOUND/);
    expect(stdout).toMatch(/^Report: lot\.html$/m);
    expect(written.parts).toHaveLength(9);
  });

  it("the same document twice, but for its run block", () => {
    const [one, two] = [1, 2].map(() => documentOf(candler(folder, "lot", "mixed", "--json", "-").stdout));
    expect({ ...one, run: null }).toEqual({ ...two, run: null });
    expect(one.run.startedAt).not.toBe(two.run.startedAt);
  });

  it("millimetres by a body size and by a typed scale, pixels without", () => {
    const side = (...args: string[]) =>
      documentOf(candler(folder, "lot", "clean", "--json", "-", ...args).stdout).parts[0].measurements
        .bodyLength;
    const [inPixels, byBody, byScale] = [side(), side("--body-mm", "4.9x3.9"), side("--scale-um", "27")];
    expect(inPixels).toMatchObject({ unit: "px" });
    expect(byBody).toMatchObject({ unit: "mm" });
    expect(byScale).toMatchObject({ unit: "mm" });
    // 4.9 mm of body at 0.027 mm a pixel; 1 px of tolerance.
    expect(Math.abs((inPixels.value ?? 0) - 4.9 / 0.027)).toBeLessThan(1);
    expect(Math.abs((byScale.value ?? 0) - 4.9)).toBeLessThan(0.03);
    expect(Math.abs((byBody.value ?? 0) - 4.9)).toBeLessThan(0.05);
  });
});
