import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { LotDocument } from "../../src/contract/lot-document.ts";
import { lotDocumentSchema } from "../../src/contract/lot-document.ts";
import { candler } from "../support/candler.ts";
import { smallLot, tiffOf } from "../support/small-lot.ts";

let folder: string;
const { picture } = smallLot(null);
const tiff = tiffOf(picture);
const torn = tiff.subarray(0, 3000);

/** Names that a shell, a terminal, a path or a page might trip over. */
const hostileNames = [
  "a b'; echo $(id).tif",
  "-rf.tif",
  "<img src=x onerror=alert(1)>.tif",
  "line\nbreak.tif",
  "red\u001b[31m\u202e.tif",
  "größe [1] {a,b} *.tif",
];

/** Standard output's document. */
function judged(...args: string[]): LotDocument {
  return lotDocumentSchema.parse(JSON.parse(candler(folder, "lot", ...args, "--json", "-").stdout));
}

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "candler-inputs-"));
  for (const name of ["hostile", "many", "frames"]) mkdirSync(join(folder, name));
  for (const name of hostileNames) writeFileSync(join(folder, "hostile", name), torn);
  for (const name of ["tray_10.tif", "tray_2.tif", "tray_2.txt", ".hidden.tif"])
    writeFileSync(join(folder, "many", name), torn);
});

afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe("names of files", () => {
  it("are kept as they are in the document, whatever they hold", () => {
    const { unreadable } = judged("hostile");
    expect(unreadable.map((each) => each.picture).sort()).toEqual(
      hostileNames.map((name) => join("hostile", name)).sort(),
    );
  });

  it("do nothing to a terminal or a page", () => {
    const { stdout, stderr } = candler(folder, "lot", "hostile", "--report", "hostile.html");
    for (const shown of [stdout, stderr]) {
      expect(shown).toContain("red\\x1b[31m\\u202e.tif");
      // biome-ignore lint/suspicious/noControlCharactersInRegex: the characters that must not get through
      expect(shown).not.toMatch(/[\u001b\u202e]|line\nbreak/);
    }
  });

  it("with brackets or a star are files before they are patterns", () => {
    const name = join("hostile", hostileNames.at(-1) as string);
    expect(judged(name).unreadable.map((each) => each.picture)).toEqual([name]);
  });

  it("that begin with a dash are given after --", () => {
    const { status, stdout } = candler(join(folder, "hostile"), "lot", "--json", "-", "--", "-rf.tif");
    expect(JSON.parse(stdout).unreadable).toMatchObject([{ picture: "-rf.tif" }]);
    expect(status).toBe(2);
  });
});

describe("INPUT", () => {
  const expected = ["many/tray_2.tif", "many/tray_10.tif"];

  it.each([["many"], ["many/*.tif"], ["many/tray_{2,10}.tif"], ["**/tray_*.tif"]])(
    "%s means its pictures in natural order",
    (input) => {
      expect(judged(input).unreadable.map((each) => each.picture)).toEqual(expected);
    },
  );

  it("given twice is judged once", () => {
    expect(judged("many/tray_2.tif", "many").unreadable.map((each) => each.picture)).toEqual(expected);
  });
});

describe("flat and dark frames", () => {
  const dark = 120;
  // Half as bright at the right edge as at the left: without correction a strong gradient.
  const flat = picture.samples.map((_, i) => Math.round(3000 - (1500 * (i % picture.width)) / picture.width));
  const raw = picture.samples.map((s, i) => Math.round(dark + (flat[i] - dark) * Math.min(1, s / 3400)));

  beforeAll(() => {
    writeFileSync(join(folder, "frames/tray.tif"), tiffOf(picture, raw));
    writeFileSync(join(folder, "frames/bright.tif"), tiffOf(picture, flat));
    writeFileSync(join(folder, "frames/off.tif"), tiffOf(picture, new Uint16Array(flat.length).fill(dark)));
    const { width, height } = picture;
    writeFileSync(
      join(folder, "small.tif"),
      tiffOf({ ...picture, width, height: height - 1 }, flat.slice(width)),
    );
  });

  it("named for all pictures correct them, and are no pictures themselves", () => {
    writeFileSync(join(folder, "tray.tif"), tiff);
    const frames = ["--flat", "frames/bright.tif", "--dark", "frames/off.tif"];
    const { pictures, ignored, parts, conclusion } = judged("frames", ...frames);
    expect(pictures.map((each) => each.picture)).toEqual(["frames/tray.tif"]);
    expect(ignored.map((each) => each.picture).sort()).toEqual(["frames/bright.tif", "frames/off.tif"]);
    expect(conclusion).toBe("consistent");
    const plain = judged("tray.tif");
    expect(parts).toHaveLength(plain.parts.length);
    parts.forEach(({ measurements }, i) => {
      for (const name of ["frameAttenuation", "bodyLength"]) {
        const [is, was] = [measurements[name], plain.parts[i].measurements[name]];
        if (is.value === null || was.value === null) throw new Error(`${name} of part ${i} was not measured`);
        // The same picture but for rounding to grey levels: well inside the stated doubt.
        expect(Math.abs(is.value - was.value), name).toBeLessThan(was.U);
      }
    });
  });

  it("of another size are a reason, not a crash", () => {
    const { status, stdout } = candler(folder, "lot", "tray.tif", "--flat", "small.tif", "--json", "-");
    const document = lotDocumentSchema.parse(JSON.parse(stdout));
    expect(document.unreadable).toMatchObject([
      { picture: "tray.tif", reason: expect.stringMatching(/flat/i) },
    ]);
    expect(status).toBe(2);
  });
});
