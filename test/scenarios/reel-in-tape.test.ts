import { readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { parse } from "csv-parse/sync";
import { afterAll, expect, it } from "vitest";
import { drawLot, lotRun, scenarioFolder } from "./scenario-lot.ts";

const folder = scenarioFolder();
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const tape = { layout: { kind: "tape", columns: 5, quarters: 1 }, mmPerPx: 0.03 } as const;

/**
 * A reel with few fakes, all of it inspected in its tape, scaled down to 60 pockets in two portions. Success: every fake
 * is named with its pocket, at most 0.5 % of the good parts are (here: none), and there is a list to pull them by.
 */
it("1: finds the few fakes of a reel, each by its pocket, and prints a pull list", () => {
  const truth = drawLot(folder, "reel", { variants: { A: 58, B: 2 }, changes: tape, seed: 3 });
  const pockets = [...truth.values()];
  const { status, document } = lotRun(
    folder,
    ...["reel", "--tape", "1", "--quantity", "60", "--together", "30"],
    ...["--pull-list", "pull.csv", "--report", "reel.html"],
  );
  const fakes = pockets.flatMap((variant, at) => (variant === "B" ? [String(at + 1)] : []));
  expect(document.portions.map(({ parts }) => parts)).toEqual([30, 30]);
  const positions = document.parts.filter((part) => part.suspect).map(({ position }) => position);
  expect(positions.sort()).toEqual([...fakes].sort());
  const rows: { position: string }[] = parse(readFileSync(join(folder, "pull.csv"), "utf8"), {
    bom: true,
    columns: true,
  });
  expect(rows.map(({ position }) => position)).toEqual(fakes);
  expect(document.assurance).toContain("All 60 parts of the lot were judged");
  const report = readFileSync(join(folder, "reel.html"), "utf8");
  for (const text of ["Pull list", "in 2 portions", "What it holds"]) expect(report).toContain(text);
  expect(status).toBe(1);
});
