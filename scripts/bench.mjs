// npm run bench [-- --only NAME --size 3000x2000 --runs N --rounds N --plain --once]
// Bundles bench/run.ts and runs it: every step at every size, ours and the same step in OpenCV or scipy in the same run.
import { spawnSync } from "node:child_process";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const root = path.resolve(path.dirname(fileURLToPath(import.meta.url)), "..");
const outfile = path.join(root, "candler-out/bench/run.mjs");
await build({
  entryPoints: [path.join(root, "bench/run.ts")],
  bundle: true,
  platform: "node",
  target: "node20",
  format: "esm",
  outfile,
  packages: "external",
  logLevel: "warning",
});
const { status } = spawnSync(process.execPath, [outfile, ...process.argv.slice(2)], {
  cwd: root,
  stdio: "inherit",
});
process.exit(status ?? 1);
