import { printable } from "../contract/printable.ts";
import { demoCommand } from "./demo-command.ts";
import { UsageError } from "./errors.ts";
import { lotCommand } from "./lot-command.ts";
import { parseLotRequest } from "./lot-request.ts";
import { createProgress } from "./progress.ts";
import { simulateCommand } from "./simulate-command.ts";

const usage = `candler: judges electronics by X-ray without opening them

  candler lot PICTURES...   is this lot one construction? which parts are not like the rest?
  candler demo              the same on bundled invented pictures
  candler simulate          draws invented lots of known truth: to train people, to try a planned inspection
  candler help              this text

PICTURES are files, folders or patterns (TIFF, PNG, JPEG).

Options of lot:
  --report FILE.html   write the report
  --json FILE|-        write the result as JSON (- : to standard output, and nothing else there)
  --scale-um N         object-plane scale, um per pixel
  --body-mm LxW        body size of the package as reference length, mm
  --quantity N         parts in the whole lot, for what may remain in it
  --exemplar P...      pictures of parts of known origin, up to the next option
  --exemplar-scale-um N  object-plane scale of the exemplars, um per pixel
  --wire MATERIAL:UM   bond wires as they are meant to be, gold:25: would they show?
  --codes FILE.csv     columns part or picture, and code, position, view, name, sample
  --tape N             number pockets along the tape; the first picture's first is N
  --pull-list FILE.csv suspects to take out, by position
  --job FILE.json      job number, sample, examiner, instrument, technique, decision rule, ...
  --together N         parts compared with each other at once; a larger lot goes in portions (default 80)
  --stop-at-first-suspect   stop there; go on later with
  --resume FILE.json --by NAME --because TEXT   the recorded order to go on, on all pictures
  --flat F --dark D    flat and dark frames for all pictures (repeat for several, averaged)

simulate is one of
  candler simulate --list
  candler simulate PRESET --seed N --into DIR [--training]
  candler simulate PRESET --seed N --lots N --performance FILE.json|-
  candler simulate --mark ANSWERS.csv --truth truth.json
PRESET may be changed by --parts N, --kv N, --um-per-px N, --snr N (open beam, one pixel).

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
        return await lotCommand(parseLotRequest(rest), progress);
      case "demo":
        return await demoCommand(rest, progress);
      case "simulate":
        return await simulateCommand(rest, progress);
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
