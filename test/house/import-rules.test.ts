import { copyFileSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Cruise } from "../support/cruise.ts";
import { cruise } from "../support/cruise.ts";
import { projectRoot } from "../support/needs.ts";
import { sourceFiles } from "../support/source-files.ts";

/** A small tree that keeps every rule. */
const soundTree: Record<string, string> = {
  "src/units/length.ts": "export const umPerMm = 1000;",
  "src/numeric/scale.ts": 'import { umPerMm } from "../units/length.ts"; export const scale = umPerMm;',
  "src/cli/main.ts":
    'import { readFileSync } from "node:fs"; import { scale } from "../numeric/scale.ts";\n' +
    "export const text = () => readFileSync(String(scale));",
};

/** Files that each break one rule, planted into the sound tree together. */
const plants: readonly {
  readonly rule: string;
  readonly why: string;
  readonly files: Readonly<Record<string, string>>;
}[] = [
  {
    rule: "units-imports",
    why: "units stand below numeric, even for a type",
    files: {
      "src/units/area.ts":
        'import type { scale } from "../numeric/scale.ts"; export type Area = typeof scale;',
    },
  },
  {
    rule: "inspections-imports",
    why: "an inspection knows no file format",
    files: {
      "src/formats/read.ts": 'import "../units/length.ts"; export const read = 1;',
      "src/inspections/lot/lot.ts": 'import { read } from "../../formats/read.ts"; export const lot = read;',
    },
  },
  {
    rule: "core-stays-pure",
    why: "the core opens no files",
    files: {
      "src/numeric/disk.ts": 'import { readFileSync } from "node:fs"; export const read = readFileSync;',
    },
  },
  {
    rule: "core-stays-pure",
    why: "nor under the old name of a Node module",
    files: {
      "src/numeric/old-disk.ts": 'import { readFileSync } from "fs"; export const read = readFileSync;',
    },
  },
  {
    rule: "numeric-packages",
    why: "the core is handed its codecs",
    files: { "src/numeric/codec.ts": 'import sharp from "sharp"; export const codec = sharp;' },
  },
  {
    rule: "no-development-packages",
    why: "a development package is not there when the product runs",
    files: { "src/cli/bundle.ts": 'import { build } from "esbuild"; export const bundle = build;' },
  },
  {
    rule: "no-cycles",
    why: "data runs one way",
    files: {
      "src/numeric/hen.ts": 'import { egg } from "./egg.ts"; export const hen = () => egg;',
      "src/numeric/egg.ts": 'import { hen } from "./hen.ts"; export const egg = () => hen;',
    },
  },
  {
    rule: "no-orphans",
    why: "unused files go",
    files: { "src/numeric/forgotten.ts": "export const forgotten = 1;" },
  },
  {
    rule: "folder-not-placed",
    why: "a new folder must be given its place",
    files: {
      "src/attic/box.ts": 'import { umPerMm } from "../units/length.ts"; export const box = umPerMm;',
    },
  },
  {
    rule: "folder-not-placed-but-used",
    why: "a new folder must be given its place before it is used",
    files: {
      "src/loft/box.ts": "export const box = 1;",
      "src/cli/open.ts": 'import { box } from "../loft/box.ts"; export const open = box;',
    },
  },
  {
    rule: "contract-takes-radiograph-types-only",
    why: "a document computes nothing from pixels",
    files: {
      "src/radiograph/invert.ts": 'import "../units/length.ts"; export const invert = 1;',
      "src/contract/schema.ts":
        'import { invert } from "../radiograph/invert.ts"; export const schema = invert;',
    },
  },
  {
    rule: "no-unresolved",
    why: "an import leads somewhere",
    files: {
      "src/numeric/lost.ts": 'import { nowhere } from "./nowhere.ts"; export const lost = nowhere;',
    },
  },
];

describe("import rules", () => {
  it("read every TypeScript file of this project, and find nothing wrong", () => {
    const { modules, violations } = cruise(projectRoot);
    expect(modules).toEqual(sourceFiles());
    expect(modules.length).toBeGreaterThan(40);
    expect(violations).toEqual([]);
  });
});

describe("a bad import", () => {
  let folder: string;
  let planted: Cruise;

  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), "candler-imports-"));
    for (const file of ["tsconfig.json", "package.json"]) {
      copyFileSync(join(projectRoot, file), join(folder, file));
    }
    symlinkSync(join(projectRoot, "node_modules"), join(folder, "node_modules"));
    for (const files of [soundTree, ...plants.map((plant) => plant.files)]) {
      for (const [path, content] of Object.entries(files)) {
        mkdirSync(dirname(join(folder, path)), { recursive: true });
        writeFileSync(join(folder, path), content);
      }
    }
    planted = cruise(folder);
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it("is not seen where there is none", () => {
    const sound = Object.keys(soundTree);
    expect(planted.modules).toEqual(expect.arrayContaining(sound));
    expect(planted.violations.filter((each) => sound.some((path) => each.endsWith(` ${path}`)))).toEqual([]);
  });

  for (const { rule, why, files } of plants) {
    it(`breaks ${rule}: ${why}`, () => {
      const caught = Object.keys(files).map((path) => `${rule}: ${path}`);
      expect(planted.violations.filter((each) => caught.includes(each))).not.toEqual([]);
    });
  }
});
