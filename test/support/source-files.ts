import { readdirSync } from "node:fs";
import { join } from "node:path";
import { projectRoot } from "./needs.ts";

/** Folders of `src/` that may touch disk, clock, network or a page. All others are the core. */
export const shellFolders: readonly string[] = ["cli", "store", "jobs", "server", "web"];

/** Not TypeScript proper: compiled to WebAssembly by its own compiler. */
const kernelSource = "src/numeric/kernels/assembly/";

/** TypeScript files of the product, `src/units/measured.ts`, without tests, sorted. */
export function sourceFiles(): string[] {
  return readdirSync(join(projectRoot, "src"), { recursive: true, encoding: "utf8" })
    .map((path) => `src/${path.replaceAll("\\", "/")}`)
    .filter((path) => path.endsWith(".ts") && !path.endsWith(".test.ts") && !path.startsWith(kernelSource))
    .sort();
}

/** The files of `sourceFiles` that belong to the core. */
export function coreFiles(): string[] {
  return sourceFiles().filter((path) => !shellFolders.includes(path.split("/")[1] ?? ""));
}
