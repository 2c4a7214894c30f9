import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { projectRoot } from "../support/needs.ts";

const read = (file: string) => readFileSync(join(projectRoot, file), "utf8");
const manifest = JSON.parse(read("package.json")) as {
  dependencies: Record<string, string>;
  devDependencies: Record<string, string>;
};
const lock = JSON.parse(read("package-lock.json")) as {
  packages: Record<string, { version: string; integrity?: string; resolved?: string }>;
};
const locked = Object.entries(lock.packages).filter(([path]) => path !== "");

describe("dependencies", () => {
  it("are pinned exactly, so that npm never picks an older release for an older Node", () => {
    const versions = Object.values({ ...manifest.dependencies, ...manifest.devDependencies });
    expect(versions.length).toBeGreaterThan(5);
    expect(versions.filter((version) => !/^\d+\.\d+\.\d+$/.test(version))).toEqual([]);
  });

  it("are locked by content and not by the address they came from", () => {
    expect(locked.length).toBeGreaterThan(50);
    expect(locked.filter(([, { resolved }]) => resolved !== undefined)).toEqual([]);
    expect(locked.filter(([, { integrity }]) => integrity === undefined)).toEqual([]);
  });
});
