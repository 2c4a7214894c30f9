import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { UsageError } from "./errors.ts";
import { lotCommand } from "./lot-command.ts";
import type { Progress } from "./progress.ts";

/** The main job on bundled invented pictures: prints the conclusion, writes the report and says where. */
export async function demoCommand(args: readonly string[], progress: Progress): Promise<number> {
  const [flag, into = "candler-out", ...more] = args;
  if ((flag !== undefined && flag !== "--into") || more.length)
    throw new UsageError("demo takes only --into FOLDER.");
  // From dist/candler.mjs: the pictures lie beside dist/.
  const pictures = fileURLToPath(new URL("../demo/lot", import.meta.url));
  process.stdout.write("Demonstration on invented, simulated pictures: no real part, maker or lot.\n\n");
  await lotCommand(
    {
      inputs: [pictures],
      options: { scaleUmPerPx: null, bodyMm: null, quantity: 3000 },
      flat: [],
      dark: [],
      json: null,
      report: join(into, "demo-lot.html"),
    },
    progress,
  );
  return 0;
}
