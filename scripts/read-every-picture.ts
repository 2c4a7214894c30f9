/**
 * Reads every file below the folders given (default: the shared pictures beside the project) and counts
 * how each ends: in pixels or in a refusal. Exits 1 on any crash, any file over 20 s, or 1 GiB of memory.
 *
 * node scripts/run.mjs scripts/read-every-picture.ts [--list] [FOLDER...]
 *
 * Files are read one after another in a child process, which reports its peak memory after each: an upper
 * bound for every file read so far. A child that dies or hangs is replaced and its file is named.
 */
import type { ChildProcess } from "node:child_process";
import { fork } from "node:child_process";
import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { codecs } from "../src/cli/codecs.ts";
import { UnreadablePictureError } from "../src/formats/errors.ts";
import { readPicture } from "../src/formats/read-picture.ts";

const limitMillis = 20_000;
const limitMebibytes = 1024;

interface Outcome {
  /** "pixels", a refusal's code, or "crash" / "hang". */
  readonly kind: string;
  readonly says: string;
  readonly format: string;
  readonly millis: number;
  /** Peak resident memory of the process up to and including this file. */
  readonly peakMebibytes: number;
}

async function readOne(file: string): Promise<Outcome> {
  const start = performance.now();
  const done = (kind: string, says: string, format: string): Outcome => ({
    kind,
    says,
    format,
    millis: performance.now() - start,
    peakMebibytes: process.resourceUsage().maxRSS / 1024,
  });
  try {
    const picture = await readPicture(readFileSync(file), { codecs });
    const { widthPx, heightPx, channels, bits, sampleType, photometric } = picture;
    const size = `${widthPx} x ${heightPx} x ${channels}, ${bits}-bit ${sampleType}, ${photometric}`;
    return done("pixels", [size, ...picture.notes].join("; "), picture.format);
  } catch (error) {
    if (error instanceof UnreadablePictureError) return done(error.code, error.message, "-");
    return done("crash", String(error), "-");
  }
}

/** Hand one file to the child; settle on its answer, its death or the time limit. */
function ask(child: ChildProcess, file: string): Promise<Outcome> {
  return new Promise((resolve) => {
    const settle = (outcome: Outcome): void => {
      clearTimeout(timer);
      child.removeAllListeners();
      resolve(outcome);
    };
    const failed = (kind: string, says: string): void =>
      settle({ kind, says, format: "-", millis: 0, peakMebibytes: 0 });
    const timer = setTimeout(() => {
      failed("hang", `no answer in ${limitMillis / 1000} s`);
      child.kill("SIGKILL");
    }, limitMillis);
    child.once("message", (outcome) => settle(outcome as Outcome));
    child.once("exit", (code, signal) => failed("crash", `the process ended: ${signal ?? code}`));
    child.send(file);
  });
}

function filesBelow(root: string): string[] {
  if (!statSync(root).isDirectory()) return [root];
  return readdirSync(root, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => path.join(entry.parentPath, entry.name))
    .sort();
}

async function main(): Promise<void> {
  const args = process.argv.slice(2);
  const shared = path.resolve("..", "shared");
  const given = args.filter((arg) => arg !== "--list");
  const folders =
    given.length > 0 ? given : [path.join(shared, "pictures"), path.join(shared, "simulated", "F")];
  const missing = folders.filter((folder) => !existsSync(folder));
  if (missing.length > 0) {
    console.error(`not there: ${missing.join(", ")}`);
    process.exit(2);
  }
  const counts = new Map<string, number>();
  const failures: string[] = [];
  let slowest = { file: "", millis: 0 };
  let peakMebibytes = 0;
  let child: ChildProcess | undefined;
  for (const file of folders.flatMap(filesBelow)) {
    child ??= fork(fileURLToPath(import.meta.url), ["--child"]);
    const outcome = await ask(child, file);
    const { kind, says, format, millis } = outcome;
    const key = kind === "pixels" ? `pixels: ${format}` : `refused: ${kind}`;
    counts.set(key, (counts.get(key) ?? 0) + 1);
    if (args.includes("--list")) console.log(`${path.relative(shared, file)}\t${kind}\t${says}`);
    if (millis > slowest.millis) slowest = { file, millis };
    peakMebibytes = Math.max(peakMebibytes, outcome.peakMebibytes);
    const tooBig = outcome.peakMebibytes > limitMebibytes;
    if (kind === "crash" || kind === "hang" || millis > limitMillis || tooBig) {
      failures.push(`${file}: ${tooBig ? `${Math.round(outcome.peakMebibytes)} MiB` : `${kind}: ${says}`}`);
      child.kill("SIGKILL");
      child = undefined;
    }
  }
  child?.disconnect();
  const total = [...counts.values()].reduce((sum, count) => sum + count, 0);
  for (const [key, count] of [...counts].sort(([a], [b]) => (a < b ? -1 : 1)))
    console.log(`${String(count).padStart(6)}  ${key}`);
  console.log(`${String(total).padStart(6)}  files`);
  console.log(
    `slowest: ${slowest.millis.toFixed(0)} ms, ${path.basename(slowest.file)}; peak memory of the reading process: ${peakMebibytes.toFixed(0)} MiB`,
  );
  for (const failure of failures) console.error(`FAILED ${failure}`);
  process.exitCode = failures.length > 0 ? 1 : 0;
}

if (process.argv.includes("--child")) {
  process.on("message", (file: string) => readOne(file).then((outcome) => process.send?.(outcome)));
} else {
  await main();
}
