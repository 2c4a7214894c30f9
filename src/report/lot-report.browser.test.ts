import { chromium } from "playwright-core";
import { expect, it } from "vitest";
import { describeNeeding, needsProgram, programPath } from "../../test/support/needs.ts";
import { encodePng } from "../cli/encode-png.ts";
import { inventLotPictures, inventLotResult } from "../contract/invented-lot.fixture.ts";
import { toLotDocument } from "../contract/to-lot-document.ts";
import { lotReport } from "./lot-report.ts";

const flags =
  "--no-sandbox --use-angle=swiftshader --enable-unsafe-swiftshader --disable-quic --no-first-run --disable-background-networking --disable-component-update --disable-sync";

function inventReport(): string {
  const result = inventLotResult();
  const options = { scaleUmPerPx: null, bodyMm: null, quantity: 3000 };
  const run = { startedAt: "2001-02-03T04:05:06Z", millis: 1 };
  const document = toLotDocument(result, inventLotPictures(), [], [], options, run);
  return lotReport({
    document,
    aligned: [{ view: null, aligned: result.aligned }],
    generatedAt: run.startedAt,
    encodePng,
  });
}

describeNeeding(needsProgram("chromium"), "the report in a browser", () => {
  it("decodes every picture, asks for nothing, and fits wide and narrow windows", {
    timeout: 60_000,
  }, async () => {
    const browser = await chromium.launch({
      executablePath: programPath("chromium") ?? "",
      args: flags.split(" "),
    });
    try {
      const page = await browser.newPage({ viewport: { width: 1280, height: 900 } });
      const asked: string[] = [];
      const complaints: string[] = [];
      page.on("request", (request) => asked.push(request.url().slice(0, 5)));
      page.on("console", (message) => complaints.push(message.text()));
      page.on("pageerror", (error) => complaints.push(error.message));
      await page.setContent(inventReport(), { waitUntil: "load" });
      const sizes =
        await page.evaluate(`Promise.all([...document.querySelectorAll("image")].map(async (image) => {
        const probe = new Image();
        probe.src = image.href.baseVal;
        await probe.decode();
        return probe.naturalWidth;
      }))`);
      expect((sizes as number[]).length).toBeGreaterThan(40);
      expect(Math.min(...(sizes as number[]))).toBeGreaterThan(90);
      for (const width of [1280, 420]) {
        await page.setViewportSize({ width, height: 900 });
        const overflow = await page.evaluate("document.documentElement.scrollWidth - window.innerWidth");
        expect([width, overflow]).toEqual([width, 0]);
      }
      expect([...new Set(asked)].filter((start) => start !== "data:")).toEqual([]);
      expect(complaints).toEqual([]);
    } finally {
      await browser.close();
    }
  });
});
