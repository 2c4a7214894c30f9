// Compiles src/numeric/kernels/assembly into src/numeric/kernels/module.generated.ts (base64, so that the core needs no
// disk). Run after changing the kernels: node scripts/kernels.mjs. A test compares the committed file with a fresh compile.
import { writeFileSync } from "node:fs";
import path from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

const root = path.resolve(path.dirname(fileURLToPath(import.meta.url)), "..");
const folder = path.join(root, "src/numeric/kernels");

/** The compiled module's bytes. */
export async function compileKernels() {
  const asc = await import("assemblyscript/asc");
  let binary;
  const { error, stderr } = await asc.main(
    [
      "index.ts",
      "--baseDir",
      path.join(folder, "assembly"),
      "--outFile",
      "kernels.wasm",
      "-O3",
      "--noAssert",
      "--runtime",
      "stub",
      "--enable",
      "simd,bulk-memory",
      "--initialMemory",
      "1",
    ],
    {
      writeFile: (name, contents) => {
        if (name === "kernels.wasm") binary = contents;
      },
    },
  );
  if (error) throw new Error(`The kernels did not compile:\n${stderr.toString()}`, { cause: error });
  return binary;
}

/** The text of the generated file for these bytes. */
export function generatedText(bytes) {
  const lines = Buffer.from(bytes)
    .toString("base64")
    .match(/.{1,100}/g);
  return [
    "// Compiled from ./assembly by scripts/kernels.mjs. Do not edit.",
    `/** The kernel module, ${bytes.length} bytes in base64. */`,
    `export const KERNEL_MODULE_BASE64 =\n  "${lines.join('" +\n  "')}";`,
    "",
  ].join("\n");
}

if (import.meta.url === pathToFileURL(process.argv[1]).href) {
  const bytes = await compileKernels();
  writeFileSync(path.join(folder, "module.generated.ts"), generatedText(bytes));
  process.stdout.write(`src/numeric/kernels/module.generated.ts: ${bytes.length} bytes of WebAssembly\n`);
}
