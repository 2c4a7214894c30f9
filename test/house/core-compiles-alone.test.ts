import { join } from "node:path";
import ts from "typescript";
import { describe, expect, it } from "vitest";
import { projectRoot } from "../support/needs.ts";
import { coreFiles } from "../support/source-files.ts";

const coreConfig = ts.getParsedCommandLineOfConfigFile(
  join(projectRoot, "tsconfig.core.json"),
  {},
  {
    ...ts.sys,
    onUnRecoverableConfigFileDiagnostic: (diagnostic) => expect.fail(String(diagnostic.messageText)),
  },
);

/** Compiler messages for a file with this content, had it stood in the core among the files that are there. */
function messagesFor(content: string): string[] {
  const planted = join(projectRoot, "src", "units", "planted.ts");
  const options = coreConfig?.options ?? {};
  const host = ts.createCompilerHost(options);
  const { fileExists, readFile, getSourceFile } = host;
  host.fileExists = (path) => path === planted || fileExists(path);
  host.readFile = (path) => (path === planted ? content : readFile(path));
  host.getSourceFile = (path, ...rest) =>
    path === planted
      ? ts.createSourceFile(path, content, ts.ScriptTarget.ES2023)
      : getSourceFile(path, ...rest);
  const program = ts.createProgram([...(coreConfig?.fileNames ?? []), planted], options, host);
  const file = program.getSourceFile(planted);
  return [...program.getSyntacticDiagnostics(file), ...program.getSemanticDiagnostics(file)].map(
    (diagnostic) => ts.flattenDiagnosticMessageText(diagnostic.messageText, " "),
  );
}

describe("the core's compiler settings", () => {
  it("cover every file of the core", () => {
    const covered = (coreConfig?.fileNames ?? []).map((path) => path.slice(projectRoot.length + 1)).sort();
    expect(covered).toEqual(coreFiles());
  });

  it("accept plain computation", () => {
    expect(messagesFor("export const half = (x: number): number => Math.fround(x / 2);")).toEqual([]);
  });

  it.each([
    ["disk", 'import { readFileSync } from "node:fs"; export const read = readFileSync;', "node:fs"],
    ["a page", "export const title = document.title;", "document"],
    ["the process", "export const host = process.platform;", "process"],
    ["the console", 'export const say = () => console.log("x");', "console"],
    ["timers", "export const wait = () => setTimeout(() => 1, 1);", "setTimeout"],
    ["the network", 'export const get = () => fetch("x");', "fetch"],
    ["Node's buffers", "export const bytes = Buffer.alloc(1);", "Buffer"],
  ])("know nothing of %s", (_what, content, name) => {
    expect(messagesFor(content).join("\n")).toMatch(new RegExp(`Cannot find (name|module) '${name}'`));
  });
});
