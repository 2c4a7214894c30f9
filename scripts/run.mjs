// Bundles a TypeScript script and runs it: node scripts/run.mjs scripts/x.ts [arguments]
import { mkdirSync } from "node:fs";
import path from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { build } from "esbuild";

const root = path.resolve(path.dirname(fileURLToPath(import.meta.url)), "..");
const [script, ...args] = process.argv.slice(2);
if (script === undefined) {
  console.error("usage: node scripts/run.mjs scripts/x.ts [arguments]");
  process.exit(2);
}
// Beside node_modules, so that the bundle finds the packages left outside it.
const outfile = path.join(
  root,
  "node_modules",
  ".cache",
  "candler-scripts",
  `${path.basename(script, ".ts")}.mjs`,
);
mkdirSync(path.dirname(outfile), { recursive: true });
await build({
  entryPoints: [path.resolve(script)],
  outfile,
  bundle: true,
  platform: "node",
  format: "esm",
  target: "node20",
  packages: "external",
  sourcemap: "inline",
  logLevel: "warning",
});
process.argv = [process.argv[0], path.resolve(script), ...args];
await import(pathToFileURL(outfile).href);
