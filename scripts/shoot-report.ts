/**
 * Pictures of the demonstration's report for the README, by a headless Chromium. Run the demo before.
 *
 * npm run demo && node scripts/run.mjs scripts/shoot-report.ts [--chromium PROGRAM]
 */
import { mkdirSync } from "node:fs";
import path from "node:path";
import { pathToFileURL } from "node:url";
import { parseArgs } from "node:util";
import { chromium } from "playwright-core";
import sharp from "sharp";

const WIDTH_PX = 1200;

const { values } = parseArgs({ options: { chromium: { type: "string", default: "chromium" } } });
const browser = await chromium.launch({
  executablePath: path.isAbsolute(values.chromium) ? values.chromium : `/usr/bin/${values.chromium}`,
  args: ["--no-sandbox"],
});
const page = await browser.newPage({ viewport: { width: WIDTH_PX, height: 900 } });
await page.goto(pathToFileURL("candler-out/demo-lot.html").href);
mkdirSync("docs/images", { recursive: true });
// From a heading to the end of the nth item after it.
for (const [file, heading, item, count] of [
  ["lot-report.png", "Contact sheet", "li.card", 8],
  ["lot-difference.png", "Suspect parts in detail", "figure", 3],
] as const) {
  const section = page.locator("section", { has: page.locator("h2", { hasText: heading }) });
  const from = await section.locator("h2").boundingBox();
  const to = await section
    .locator(item)
    .nth(count - 1)
    .boundingBox();
  if (from === null || to === null)
    throw new Error(`"${heading}" and ${count} of "${item}" expected in the report.`);
  const clip = {
    x: 0,
    y: Math.round(from.y) - 12,
    width: WIDTH_PX,
    height: Math.round(to.y + to.height - from.y) + 20,
  };
  const shot = await page.screenshot({ fullPage: true, clip });
  const { size } = await sharp(shot)
    .png({ palette: true, colours: 128, compressionLevel: 9 })
    .toFile(path.join("docs/images", file));
  console.log(`docs/images/${file}: ${clip.width} x ${clip.height} px, ${size} bytes`);
}
await browser.close();
