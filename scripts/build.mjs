// Bundles the command line and its workers into dist/. Runs at `npm ci` (prepare), so that ./bin/candler works right
// after it.
import { build } from "esbuild";

await build({
  entryPoints: { candler: "src/cli/main.ts", "lot-worker": "src/cli/lot-worker.ts" },
  bundle: true,
  platform: "node",
  target: "node20",
  format: "esm",
  outdir: "dist",
  outExtension: { ".js": ".mjs" },
  packages: "external",
  sourcemap: true,
  logLevel: "warning",
});
