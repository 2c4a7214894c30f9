// Bundles the command line into dist/. Runs at `npm ci` (prepare), so that ./bin/candler works right after it.
import { build } from "esbuild";

await build({
  entryPoints: ["src/cli/main.ts"],
  bundle: true,
  platform: "node",
  target: "node20",
  format: "esm",
  outfile: "dist/candler.mjs",
  packages: "external",
  sourcemap: true,
  logLevel: "warning",
});
