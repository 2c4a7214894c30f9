import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { deflateSync } from "node:zlib";
import type { LotDocument } from "../../src/contract/lot-document.ts";
import { lotDocumentSchema } from "../../src/contract/lot-document.ts";
import { lotFiles } from "../../src/simulate/lot-files.ts";
import type { LotSpec } from "../../src/simulate/lot-spec.ts";
import type { FamilyName } from "../../src/simulate/packages/families.ts";
import { constructionOf } from "../../src/simulate/packages/families.ts";
import { lotLike, trayOf } from "../../src/simulate/usual-lot.ts";
import { candler } from "../support/candler.ts";

/** What a scenario's lot has of its own; all parts are invented. */
export interface ScenarioLot {
  /** Parts of each variant of the package. */
  readonly variants: Readonly<Record<string, number>>;
  readonly family?: FamilyName;
  readonly changes?: Partial<LotSpec>;
  readonly seed?: number;
}

/** One run of the command line with its document. */
export interface ScenarioRun {
  readonly status: number | null;
  readonly stdout: string;
  readonly document: LotDocument;
}

/** A folder of its own for a scenario. */
export function scenarioFolder(): string {
  return mkdtempSync(join(tmpdir(), "candler-scenario-"));
}

/**
 * Draws a lot of small parts, nine a tray unless told otherwise, and says which parts are of which variant. At 27 um
 * per px, where small lots are drawn faster, wires of 25 um are a px thick and some are called elsewhere.
 */
export function drawLot(
  folder: string,
  name: string,
  { variants, family = "SO-8", changes = {}, seed = 1 }: ScenarioLot,
): Map<string, string> {
  const constructions = Object.entries(variants).map(([variant, count]) => ({
    construction: constructionOf(variant, family, variant),
    count,
  }));
  const spec = lotLike(name, "A scenario's lot.", {
    constructions,
    layout: trayOf(3, 3),
    mmPerPx: 0.02,
    dust: 0,
    ...changes,
  });
  mkdirSync(join(folder, name), { recursive: true });
  const variantOf = new Map<string, string>();
  for (const { name: file, bytes } of lotFiles(spec, seed, deflateSync)) {
    if (file.endsWith(".tif")) writeFileSync(join(folder, name, file), bytes);
    else readTruth(bytes, name, variantOf);
  }
  return variantOf;
}

/** Runs `candler lot` and reads its document, which its own schema must accept. */
export function lotRun(folder: string, ...args: string[]): ScenarioRun {
  const { status, stdout, stderr } = candler(folder, "lot", ...args, "--json", "result.json");
  const result = candlerDocument(folder);
  if (result === null) throw new Error(stderr);
  return { status, stdout, document: result };
}

function candlerDocument(folder: string): LotDocument | null {
  const path = join(folder, "result.json");
  if (!existsSync(path)) return null;
  const document = lotDocumentSchema.parse(JSON.parse(readFileSync(path, "utf8")));
  rmSync(path);
  return document;
}

function readTruth(bytes: Uint8Array, folder: string, variantOf: Map<string, string>): void {
  const { images } = JSON.parse(new TextDecoder().decode(bytes)) as {
    images: { file: string; parts: { construction: string }[] }[];
  };
  for (const { file, parts } of images)
    parts.forEach(({ construction }, at) => {
      variantOf.set(parts.length > 1 ? `${folder}/${file}#${at + 1}` : `${folder}/${file}`, construction);
    });
}
