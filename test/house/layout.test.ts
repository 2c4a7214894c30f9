import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { projectRoot } from "../support/needs.ts";
import { sourceFiles } from "../support/source-files.ts";

/** Names that say where a thing was put and not what it is. */
const drawers = /^(utils?|helpers?|common|misc|lib|shared|stuff|tools?)$/;

/** From about 300 lines on there is a second noun in a file. */
const mostLines = 350;

describe("a source file", () => {
  it("is named for what it exports, and so is its folder", () => {
    const drawer = sourceFiles().filter((path) =>
      path
        .replace(/\.ts$/, "")
        .split("/")
        .some((name) => drawers.test(name)),
    );
    expect(drawer).toEqual([]);
  });

  it(`is shorter than ${mostLines} lines, unless a script wrote it`, () => {
    const lengths = sourceFiles().map((path) => {
      const lines = readFileSync(join(projectRoot, path), "utf8").split("\n");
      return { path, lines: lines.length, written: /^\/\/ Written by scripts\//.test(lines[0] ?? "") };
    });
    expect(lengths.filter(({ lines, written }) => !written && lines >= mostLines)).toEqual([]);
  });
});
