import { existsSync, mkdirSync, readdirSync, statSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { deflateSync } from "node:zlib";
import { printable } from "../contract/printable.ts";
import type { LotFile } from "../simulate/lot-files.ts";
import { lotFiles } from "../simulate/lot-files.ts";
import { presetSections } from "../simulate/presets.ts";
import { trainingFiles } from "../simulate/training-set.ts";
import { UsageError } from "./errors.ts";
import { markCommand } from "./mark-command.ts";
import { measurePerformance } from "./measure-performance.ts";
import { asUsage, presetNamed } from "./preset-named.ts";
import type { Progress } from "./progress.ts";
import { parseSimulateRequest } from "./simulate-request.ts";

/** Draws invented lots, marks answers on them, or measures how well the lot inspection does on them. Returns 0. */
export async function simulateCommand(args: readonly string[], progress: Progress): Promise<number> {
  const request = parseSimulateRequest(args);
  const tell = (text: string) => process.stdout.write(`${printable(text)}\n`);
  if (request.kind === "list") {
    process.stdout.write(presetList());
    return 0;
  }
  if (request.kind === "mark") {
    process.stdout.write(`${markCommand(request.answers, request.truth)}\n`);
    return 0;
  }
  const spec = presetNamed(request.preset, request.changes);
  if (request.kind === "performance") {
    const document = await measurePerformance(request, spec, progress);
    progress.end();
    const text = `${JSON.stringify(document, null, 2)}\n`;
    if (request.json === "-") process.stdout.write(text);
    else {
      mkdirSync(dirname(request.json), { recursive: true });
      writeFileSync(request.json, text);
      for (const line of document.says) tell(line);
      tell(`Assumed: ${document.assumed.join(" ")}`);
      tell(`Document: ${request.json}`);
    }
    return 0;
  }
  const { into, seed } = request;
  requireEmpty(into);
  const described = `INVENTED parts, simulated picture: candler simulate ${spec.name}, seed ${seed}.`;
  const training = request.kind === "training";
  const files = training
    ? trainingFiles(spec, seed, (raw) => deflateSync(raw))
    : lotFiles(spec, seed, (raw) => deflateSync(raw), described);
  const pictures = asUsage(() => writeFiles(into, files, progress));
  progress.end();
  tell(
    training
      ? `${pictures} pictures of invented parts, answers.csv and instructions.txt in ${into}; the truth is in ${join(into, "answers")}: take it out before handing the folder on.`
      : `${pictures} pictures of invented parts and truth.json in ${into}`,
  );
  return 0;
}

function presetList(): string {
  const sections = Object.entries(presetSections).map(([heading, specs]) => {
    const widest = Math.max(...specs.map(({ name }) => name.length));
    return [heading, ...specs.map((s) => `  ${s.name.padEnd(widest)}  ${s.description}`)].join("\n");
  });
  return `All parts are invented.\n\n${sections.join("\n\n")}\n`;
}

/** @throws UsageError unless the folder can be written without touching anything that is there */
function requireEmpty(folder: string): void {
  if (!existsSync(folder)) return;
  if (!statSync(folder).isDirectory()) throw new UsageError(`--into ${folder} is a file. Name a folder.`);
  const inside = readdirSync(folder).length;
  if (inside)
    throw new UsageError(`--into ${folder} holds ${inside} files already. Name a new or an empty folder.`);
}

function writeFiles(into: string, files: Iterable<LotFile>, progress: Progress): number {
  let pictures = 0;
  for (const { name, bytes } of files) {
    const path = join(into, name);
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(path, bytes);
    if (name.endsWith(".tif")) progress.step("drawing", ++pictures, null);
  }
  return pictures;
}
