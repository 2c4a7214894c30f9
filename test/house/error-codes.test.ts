import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import ts from "typescript";
import { describe, expect, it } from "vitest";
import { errorClasses, errorClassesIn } from "../support/error-codes.ts";
import { projectRoot } from "../support/needs.ts";

const classes = errorClasses();

/** Codes that docs/errors.md explains, as `folder: code`: rows of tables under a heading `## src/<folder>`. */
function documentedCodes(): string[] {
  const page = readFileSync(join(projectRoot, "docs", "errors.md"), "utf8");
  return page.split(/^## src\//m).flatMap((section) => {
    const folder = section.split("\n", 1)[0] ?? "";
    return [...section.matchAll(/^\| `([^`]+)` \|/gm)].map((match) => `${folder}: ${match[1]}`);
  });
}

describe("error classes", () => {
  it("stand in their folder's errors.ts", () => {
    const elsewhere = classes.filter(({ file }) => !file.endsWith("/errors.ts"));
    expect(elsewhere).toEqual([]);
  });

  it("have codes known at compile time", () => {
    expect(classes.filter(({ codes }) => codes.length === 0)).toEqual([]);
    const codes = classes.flatMap((each) => each.codes);
    expect(codes.filter((code) => !/^[a-z0-9]+([-/][a-z0-9]+)*$/.test(code))).toEqual([]);
  });

  it("have codes that docs/errors.md explains under their folder, and no others", () => {
    const codes = new Set(
      classes.flatMap(({ file, codes }) => codes.map((code) => `${file.split("/")[1]}: ${code}`)),
    );
    expect(codes.size).toBeGreaterThan(5);
    expect(documentedCodes().sort()).toEqual([...codes].sort());
  });

  it("have codes that belong to one folder only", () => {
    const folders = new Map<string, Set<string>>();
    for (const { file, codes } of classes) {
      for (const code of codes) folders.set(code, (folders.get(code) ?? new Set()).add(file));
    }
    expect([...folders].filter(([, files]) => files.size > 1)).toEqual([]);
  });
});

describe("the reading of error codes", () => {
  it("sees a literal, a union and a parent's code, and no code in a plain string", () => {
    const folder = mkdtempSync(join(tmpdir(), "candler-codes-"));
    const text = `
      export type Code = "a/one" | "a/two";
      export class Literal extends Error { readonly code = "a/literal"; }
      export class Union extends Error { readonly code: Code = "a/one"; }
      export class Child extends Literal {}
      export class Plain extends Error { readonly code: string = "a/plain"; }
      export class NotAnError { readonly code = "a/other"; }`;
    writeFileSync(join(folder, "errors.ts"), text);
    const found = errorClassesIn(["errors.ts"], folder, { target: ts.ScriptTarget.ES2023, strict: true });
    rmSync(folder, { recursive: true });
    expect(Object.fromEntries(found.map(({ name, codes }) => [name, codes]))).toEqual({
      Literal: ["a/literal"],
      Union: ["a/one", "a/two"],
      Child: ["a/literal"],
      Plain: [],
    });
  });
});
