import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import ts from "typescript";
import { describe, expect, it } from "vitest";
import { errorClasses, errorClassesIn } from "../support/error-codes.ts";
import { projectRoot } from "../support/needs.ts";

const classes = errorClasses();

/** Codes that docs/errors.md explains: the first cell of a table row, in backquotes. */
function documentedCodes(): string[] {
  const page = readFileSync(join(projectRoot, "docs", "errors.md"), "utf8");
  return [...page.matchAll(/^\| `([^`]+)` \|/gm)].map((match) => match[1] ?? "");
}

describe("error classes", () => {
  it("stand in their folder's errors.ts", () => {
    const elsewhere = classes.filter(({ file }) => !file.endsWith("/errors.ts"));
    expect(elsewhere).toEqual([]);
  });

  it("have a code known at compile time that begins with their folder of src/", () => {
    const wrong = classes.filter(
      ({ file, codes }) =>
        codes.length === 0 ||
        codes.some((code) => !new RegExp(`^${file.split("/")[1]}/[a-z0-9]+(-[a-z0-9]+)*$`).test(code)),
    );
    expect(wrong).toEqual([]);
  });

  it("have codes that docs/errors.md explains, and no others", () => {
    const codes = [...new Set(classes.flatMap((each) => each.codes))].sort();
    expect(codes.length).toBeGreaterThan(5);
    expect(documentedCodes().sort()).toEqual(codes);
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
