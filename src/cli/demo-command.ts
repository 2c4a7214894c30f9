import { isAbsolute, join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { UsageError } from "./errors.ts";
import { lotCommand } from "./lot-command.ts";
import type { Progress } from "./progress.ts";

/** The main job on bundled invented pictures: prints the conclusion, writes the report and says where. */
export async function demoCommand(args: readonly string[], progress: Progress): Promise<number> {
  const [flag, into = "candler-out", ...more] = args;
  if ((flag !== undefined && flag !== "--into") || more.length || (flag && args.length < 2))
    throw new UsageError("demo takes only --into FOLDER.");
  const pictures = bundled("lot");
  const job = bundled("job.json");
  const report = join(into, "demo-lot.html");
  const pulled = join(into, "demo-pull-list.csv");
  process.stdout.write(
    `Demonstration on an invented lot and simulated pictures: no real part, maker or lot.\nThe same by hand: candler lot ${pictures} --job ${job} --body-mm 4.9x3.9 --pull-list ${pulled} --report ${report}\n\n`,
  );
  await lotCommand(
    {
      inputs: [pictures],
      options: { scaleUmPerPx: null, bodyMm: [4.9, 3.9], quantity: null },
      flat: [],
      dark: [],
      json: null,
      report,
      job,
      pullList: pulled,
    },
    progress,
  );
  return 0;
}

/** What lies in demo/ beside dist/, as seen from where the command runs when it lies below. */
function bundled(name: string): string {
  const absolute = fileURLToPath(new URL(`../demo/${name}`, import.meta.url));
  const short = relative("", absolute);
  return short.startsWith("..") || isAbsolute(short) ? absolute : short;
}
