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

  it(`is shorter than ${mostLines} lines`, () => {
    const long = sourceFiles()
      .map((path) => `${path}: ${readFileSync(join(projectRoot, path), "utf8").split("\n").length}`)
      .filter((each) => Number(each.split(": ")[1]) >= mostLines);
    expect(long).toEqual([]);
  });
});
