import { execFileSync } from "node:child_process";
import path from "node:path";
import type { BenchCase, BenchInput } from "./bench-case.ts";

const PYTHON = process.env.CANDLER_PYTHON ?? "/usr/bin/python3";

/** What bench/reference.py prints; times and results by name of the reference. */
export interface ReferenceAnswer {
  readonly versions: Record<string, string>;
  readonly times: Record<string, number[]>;
  readonly found: Record<string, unknown>;
}

/** Why the Python side cannot run, or null when it can. */
export function referenceMissing(): string | null {
  try {
    execFileSync(PYTHON, ["-c", "import cv2, scipy, numpy"], { stdio: "pipe" });
    return null;
  } catch {
    return `reference: skipped, ${PYTHON} with cv2, scipy and numpy is not here (set CANDLER_PYTHON to one that has them)`;
  }
}

/** Name of a case's reference. */
export const referenceOf = (one: BenchCase) => one.reference ?? one.name;

/** Times the references of some cases in one Python process. */
export function runReference(
  { root, folder, size }: BenchInput,
  threads: number,
  wanted: readonly BenchCase[],
  runs: number,
): ReferenceAnswer {
  const request = wanted.map((one) => ({
    name: referenceOf(one),
    runs: one.ownProcess ? 1 : (one.runs ?? runs),
    cold: one.ownProcess ?? false,
  }));
  const text = execFileSync(
    PYTHON,
    [
      path.join(root, "bench/reference.py"),
      folder,
      String(size.width),
      String(size.height),
      String(threads),
      JSON.stringify(request),
    ],
    {
      encoding: "utf8",
      maxBuffer: 1 << 26,
      stdio: ["ignore", "pipe", "inherit"],
      // Matrix libraries below numpy keep to the same number of threads as OpenCV.
      env: { ...process.env, OMP_NUM_THREADS: String(threads), OPENBLAS_NUM_THREADS: String(threads) },
    },
  );
  return JSON.parse(text) as ReferenceAnswer;
}
