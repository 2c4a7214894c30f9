import { join } from "node:path";
import ts from "typescript";
import { beforeAll, describe, expect, it } from "vitest";
import { projectRoot } from "../support/needs.ts";
import { coreFiles } from "../support/source-files.ts";

/** What stands in a file, and the name that the core's compiler must not know in it. */
const forbidden = [
  {
    what: "disk",
    name: "node:fs",
    text: 'import { readFileSync } from "node:fs"; export const x = readFileSync;',
  },
  { what: "a page", name: "document", text: "export const x = document.title;" },
  { what: "the process", name: "process", text: "export const x = process.platform;" },
  { what: "the console", name: "console", text: 'export const x = () => console.log("x");' },
  { what: "timers", name: "setTimeout", text: "export const x = () => setTimeout(() => 1, 1);" },
  { what: "the network", name: "fetch", text: 'export const x = () => fetch("x");' },
  { what: "Node's buffers", name: "Buffer", text: "export const x = Buffer.alloc(1);" },
];
const allowed = "export const half = (x: number): number => Math.fround(x / 2);";

const config = ts.getParsedCommandLineOfConfigFile(
  join(projectRoot, "tsconfig.core.json"),
  {},
  {
    ...ts.sys,
    onUnRecoverableConfigFileDiagnostic: (diagnostic) => expect.fail(String(diagnostic.messageText)),
  },
) ?? { options: {}, fileNames: [] };

const plantedFile = (index: number) => join(projectRoot, "src", "units", `planted-${index}.ts`);

/** Compiler messages for each text, had it been a file of the core beside those that are there. */
function messagesFor(texts: readonly string[]): string[][] {
  const planted = new Map(texts.map((text, index) => [plantedFile(index), text]));
  const host = ts.createCompilerHost(config.options);
  const { fileExists, readFile } = host;
  host.fileExists = (path) => planted.has(path) || fileExists(path);
  host.readFile = (path) => planted.get(path) ?? readFile(path);
  const program = ts.createProgram([...config.fileNames, ...planted.keys()], config.options, host);
  return [...planted.keys()].map((path) => {
    const file = program.getSourceFile(path);
    return [...program.getSyntacticDiagnostics(file), ...program.getSemanticDiagnostics(file)].map(
      (diagnostic) => ts.flattenDiagnosticMessageText(diagnostic.messageText, " "),
    );
  });
}

describe("the core's compiler settings", () => {
  let messages: string[][];
  beforeAll(() => {
    messages = messagesFor([...forbidden.map(({ text }) => text), allowed]);
  });

  it("cover every file of the core", () => {
    const covered = config.fileNames.map((path) => path.slice(projectRoot.length + 1)).sort();
    expect(covered).toEqual(coreFiles());
  });

  it("accept plain computation", () => {
    expect(messages.at(-1)).toEqual([]);
  });

  for (const [index, { what, name }] of forbidden.entries()) {
    it(`know nothing of ${what}`, () => {
      expect(messages[index].join("\n")).toMatch(new RegExp(`Cannot find (name|module) '${name}'`));
    });
  }
});
