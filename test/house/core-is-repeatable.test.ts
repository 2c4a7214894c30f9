import { readFileSync } from "node:fs";
import { join } from "node:path";
import ts from "typescript";
import { describe, expect, it } from "vitest";
import { projectRoot } from "../support/needs.ts";
import { coreFiles } from "../support/source-files.ts";

/** What answers differently on another day, in another run or in another country. */
const unrepeatable = new Set([
  "Math.random",
  "Date",
  "Intl",
  "globalThis",
  "crypto",
  "toLocaleString",
  "toLocaleDateString",
  "toLocaleTimeString",
  "toLocaleLowerCase",
  "toLocaleUpperCase",
  "localeCompare",
]);

/** Uses of the names above in a source text, as `Math.random at line 3`. */
function unrepeatableUses(text: string): string[] {
  const file = ts.createSourceFile("source.ts", text, ts.ScriptTarget.ES2023, true);
  const found: string[] = [];
  const visit = (node: ts.Node): void => {
    const name = ts.isIdentifier(node) ? qualifiedName(node) : undefined;
    if (name !== undefined && unrepeatable.has(name)) {
      found.push(`${name} at line ${file.getLineAndCharacterOfPosition(node.getStart()).line + 1}`);
    }
    ts.forEachChild(node, visit);
  };
  visit(file);
  return found;
}

/**
 * `Math.random` for the `random` in it; the bare name for everything else that is looked up. The one thing
 * the core may ask its host for is WebAssembly, so `globalThis.WebAssembly` has its own name.
 */
function qualifiedName(identifier: ts.Identifier): string {
  const { parent, text } = identifier;
  if (text === "globalThis") {
    const member = ts.findAncestor(identifier, ts.isPropertyAccessExpression);
    return member?.name.text === "WebAssembly" ? "globalThis.WebAssembly" : text;
  }
  const isMember = ts.isPropertyAccessExpression(parent) && parent.name === identifier;
  return isMember && parent.expression.getText() === "Math" ? `Math.${text}` : text;
}

describe("the core", () => {
  it("uses no clock, no randomness and no locale", () => {
    const uses = coreFiles().flatMap((path) =>
      unrepeatableUses(readFileSync(join(projectRoot, path), "utf8")).map((use) => `${path}: ${use}`),
    );
    expect(uses).toEqual([]);
  });

  it("would be caught using them", () => {
    const text = "export const a = Math.random();\nexport const b = new Date();\n[1].toLocaleString();";
    expect(unrepeatableUses(text)).toEqual([
      "Math.random at line 1",
      "Date at line 2",
      "toLocaleString at line 3",
    ]);
  });

  it("may ask its host for WebAssembly, and for nothing else", () => {
    expect(
      unrepeatableUses("export const host = (globalThis as { WebAssembly?: object }).WebAssembly;"),
    ).toEqual([]);
    expect(unrepeatableUses("export const host = (globalThis as { process?: object }).process;")).toEqual([
      "globalThis at line 1",
    ]);
  });

  it("may speak of them", () => {
    expect(unrepeatableUses('// Math.random() and Date\nexport const dateCode = "Date";')).toEqual([]);
  });
});
