import { spawnSync } from "node:child_process";
import { accessSync, constants, existsSync, statSync } from "node:fs";
import { delimiter, join, resolve } from "node:path";
import { describe, test } from "vitest";

/** Something outside the project that a test asks for: is it on this machine, and if not, why not. */
export interface Need {
  /** What is asked for, as the skip list names it: "program chromium". */
  readonly name: string;
  readonly available: boolean;
  /** Why it is not available; empty when it is. */
  readonly reason: string;
}

/** The project's root folder. */
export const projectRoot = resolve(import.meta.dirname, "../..");

/** Absolute path of a file or folder in the `shared` folder that may lie beside the project. */
export function sharedPath(relativePath: string): string {
  return resolve(projectRoot, "../shared", relativePath);
}

/** A file or folder of `../shared`, such as `simulated/A2`. */
export function needsShared(relativePath: string): Need {
  const available = existsSync(sharedPath(relativePath));
  return need(`../shared/${relativePath}`, available, "not beside this checkout");
}

/** A program found on PATH, such as `chromium` or `pdftotext`. */
export function needsProgram(program: string): Need {
  return need(`program ${program}`, programPath(program) !== null, "not found on PATH");
}

/** A module of the Python that `pythonProgram` names, such as `cv2` or `scipy`. Finds it without running it. */
export function needsPythonModule(module: string): Need {
  return need(
    `Python module ${module}`,
    pythonHas(module),
    `not found by ${pythonProgram() ?? "any python3"}`,
  );
}

/** A suite that runs when every need is met; else each of its tests is skipped by name, with the reason. */
export function describeNeeding(needs: Need | readonly Need[], name: string, body: () => void): void {
  const missing = [needs].flat().filter((each) => !each.available);
  if (missing.length === 0) {
    describe(name, body);
    return;
  }
  const because = missing.map((each) => `${each.name} ${each.reason}`).join("; ");
  // biome-ignore lint/suspicious/noSkippedTests: the one place where a skip is made, so that it has its reason
  describe.skip(`${name} [needs ${because}]`, () => {
    try {
      body();
    } catch (cause) {
      // A body that reads its data while tests are being collected cannot name them where the data is absent.
      test(`its tests could not be listed: ${cause instanceof Error ? cause.message : cause}`, () => {});
    }
  });
}

/** Absolute path of a program on PATH, or null. */
export function programPath(program: string): string | null {
  for (const folder of (process.env.PATH ?? "").split(delimiter)) {
    const path = join(folder, program);
    if (folder !== "" && isExecutable(path)) return path;
  }
  return null;
}

/**
 * The Python that reference scripts run under: what `CANDLER_PYTHON` names, else the system's, which sees the
 * distribution's libraries, else the first on PATH; null when there is none.
 */
export function pythonProgram(): string | null {
  const asked = process.env.CANDLER_PYTHON ?? "/usr/bin/python3";
  if (isExecutable(asked)) return asked;
  return programPath(process.env.CANDLER_PYTHON ?? "python3");
}

const pythonModules = new Map<string, boolean>();

function pythonHas(module: string): boolean {
  const known = pythonModules.get(module);
  if (known !== undefined) return known;
  const python = pythonProgram();
  const code = "import importlib.util, sys; sys.exit(importlib.util.find_spec(sys.argv[1]) is None)";
  const found = python !== null && spawnSync(python, ["-c", code, module]).status === 0;
  pythonModules.set(module, found);
  return found;
}

function need(name: string, available: boolean, reason: string): Need {
  return { name, available, reason: available ? "" : reason };
}

function isExecutable(path: string): boolean {
  try {
    accessSync(path, constants.X_OK);
    return statSync(path).isFile();
  } catch {
    return false;
  }
}
