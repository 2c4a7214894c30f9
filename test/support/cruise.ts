import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { projectRoot } from "./needs.ts";

/** What dependency-cruiser found in a folder's `src/`. */
export interface Cruise {
  /** Modules read below `src/`, as `src/units/measured.ts`, sorted. */
  readonly modules: readonly string[];
  /** Broken rules as `rule: from`, sorted. */
  readonly violations: readonly string[];
}

interface CruiseOutput {
  readonly modules: readonly { readonly source: string }[];
  readonly summary: {
    readonly violations: readonly { readonly from: string; readonly rule: { readonly name: string } }[];
  };
}

/** Runs dependency-cruiser with the project's rules over `src/` of `folder`, which holds a tsconfig.json. */
export function cruise(folder: string): Cruise {
  const program = join(projectRoot, "node_modules", "dependency-cruiser", "bin", "dependency-cruise.mjs");
  const rules = join(projectRoot, ".dependency-cruiser.cjs");
  const run = spawnSync(process.execPath, [program, "--config", rules, "--output-type", "json", "src"], {
    cwd: folder,
    encoding: "utf8",
    maxBuffer: 64 * 1024 * 1024,
  });
  if (!run.stdout.startsWith("{")) throw new Error(`dependency-cruiser printed no JSON: ${run.stderr}`);
  const output = JSON.parse(run.stdout) as CruiseOutput;
  return {
    modules: output.modules
      .map(({ source }) => source)
      .filter((source) => source.startsWith("src/"))
      .sort(),
    violations: output.summary.violations.map(({ rule, from }) => `${rule.name}: ${from}`).sort(),
  };
}
