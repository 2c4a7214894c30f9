import { parseArgs } from "node:util";
import { printable } from "../contract/printable.ts";
import { demoCommand } from "./demo-command.ts";
import { UsageError } from "./errors.ts";
import { lotCommand } from "./lot-command.ts";
import { createProgress } from "./progress.ts";

const usage = `candler: judges electronics by X-ray without opening them

  candler lot PICTURES...   is this lot one construction? which parts are not like the rest?
  candler demo              the same on bundled invented pictures
  candler help              this text

PICTURES are files, folders or patterns (TIFF, PNG, JPEG).

Options of lot:
  --report FILE.html   write the report
  --json FILE|-        write the result as JSON (- : to standard output, and nothing else there)
  --scale-um N         object-plane scale, um per pixel
  --body-mm LxW        body size of the package as reference length, mm
  --quantity N         parts in the whole lot, for what may remain in it
  --flat F --dark D    flat and dark frames for all pictures (repeat for several, averaged)

Exit: 0 nothing objected to, 1 something was, 3 something unreadable or not assessable, 2 wrong use.
`;

// A reader that has seen enough (head, less) closes the pipe: no failure.
process.stdout.on("error", (error: NodeJS.ErrnoException) => {
  if (error.code !== "EPIPE") throw error;
  process.exit();
});
process.exitCode = await main(process.argv.slice(2));

async function main(args: readonly string[]): Promise<number> {
  const [command, ...rest] = args;
  const progress = createProgress({
    write: (text) => process.stderr.write(text),
    isTerminal: process.stderr.isTTY ?? false,
    columns: process.stderr.columns ?? 100,
    nowMillis: () => performance.now(),
  });
  try {
    switch (command) {
      case "lot":
        return await lotCommand(lotRequest(rest), progress);
      case "demo":
        return await demoCommand(rest, progress);
      case "help":
      case "--help":
      case "-h":
        process.stdout.write(usage);
        return 0;
      default:
        throw new UsageError(command ? `There is no command "${command}".` : "A command is needed.");
    }
  } catch (error) {
    progress.end();
    if (error instanceof UsageError) process.stderr.write(`${printable(error.message)}\n\n${usage}`);
    else process.stderr.write(failureText(error));
    // Never 1: that says something of the parts.
    return 2;
  }
}

/** What went wrong outside of the pictures: the system's word for a file that cannot be written, else the stack. */
function failureText(error: unknown): string {
  if (!(error instanceof Error)) return `candler failed: ${error}\n`;
  const bySystem = "syscall" in error;
  return bySystem
    ? `${printable(error.message)}\n`
    : `candler failed, which is a defect to report.\n${error.stack}\n`;
}

function lotRequest(args: readonly string[]) {
  let parsed: ReturnType<typeof parseLot>;
  try {
    parsed = parseLot(args);
  } catch (error) {
    throw new UsageError(error instanceof Error ? error.message : String(error), { cause: error });
  }
  const { values, positionals } = parsed;
  if (!positionals.length) throw new UsageError("No pictures were given.");
  return {
    inputs: positionals,
    options: {
      scaleUmPerPx: values["scale-um"] === undefined ? null : positive("--scale-um", values["scale-um"]),
      bodyMm: values["body-mm"] === undefined ? null : bodySize(values["body-mm"]),
      quantity: values.quantity === undefined ? null : whole("--quantity", values.quantity),
    },
    flat: values.flat ?? [],
    dark: values.dark ?? [],
    json: values.json ?? null,
    report: values.report ?? null,
  };
}

function parseLot(args: readonly string[]) {
  return parseArgs({
    args: [...args],
    allowPositionals: true,
    options: {
      json: { type: "string" },
      report: { type: "string" },
      "scale-um": { type: "string" },
      "body-mm": { type: "string" },
      quantity: { type: "string" },
      flat: { type: "string", multiple: true },
      dark: { type: "string", multiple: true },
    },
  });
}

function positive(name: string, text: string): number {
  const value = Number(text);
  if (!(Number.isFinite(value) && value > 0))
    throw new UsageError(`${name} takes a number above 0, not "${text}".`);
  return value;
}

function whole(name: string, text: string): number {
  const value = positive(name, text);
  if (!Number.isSafeInteger(value)) throw new UsageError(`${name} takes a whole number, not "${text}".`);
  return value;
}

function bodySize(text: string): [number, number] {
  const match = /^([\d.]+)\s*[x*]\s*([\d.]+)$/i.exec(text);
  if (!match) throw new UsageError(`--body-mm takes length x width in mm, as 9.9x3.9, not "${text}".`);
  return [positive("--body-mm", match[1] as string), positive("--body-mm", match[2] as string)];
}
