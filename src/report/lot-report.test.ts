import { describe, expect, it } from "vitest";
import { encodePng } from "../cli/encode-png.ts";
import { inventLotPictures, inventLotResult } from "../contract/invented-lot.fixture.ts";
import { toLotDocument } from "../contract/to-lot-document.ts";
import { lotReport } from "./lot-report.ts";

const hostile = `incoming/lot 0000-invented/"><img src=x onerror=alert(1)>'\u202e.tif`;
const generatedAt = "2001-02-03T04:05:09Z";

function inventReport(
  result = inventLotResult(),
  pictures = inventLotPictures(),
  bodyMm: [number, number] | null = null,
): string {
  const document = toLotDocument(
    result,
    pictures,
    [{ picture: hostile, reason: "<script>alert(2)</script>" }],
    [{ picture: "flat.tif", because: "flat frame of all" }],
    { scaleUmPerPx: null, bodyMm, quantity: 3000 },
    { startedAt: generatedAt, millis: 1 },
  );
  return lotReport({
    document,
    aligned: [{ view: null, aligned: result.aligned }],
    generatedAt,
    encodePng,
    about: { sample: hostile },
  });
}

function withoutMarkup(report: string): string {
  return report.replaceAll(/<style>.*?<\/style>/gs, "").replaceAll(/<[^>]*>/g, " ");
}

describe("lotReport", () => {
  const report = inventReport();
  const text = withoutMarkup(report);

  it("holds everything a reader must find", () => {
    for (const expected of [
      "Mixed, 5 parts suspect",
      "Two constructions lie inside one date code.",
      "The wire from lead 6 is not seen",
      "die attach does not stand out from the pad",
      "cut by the edge of the picture",
      "flat frame of all",
      inventLotPictures()[3].sha256,
      "lot 0.0.0-invented",
      "A radiograph alone never proves a part authentic",
      "Ionising radiation",
      "1.469",
      "±0.012",
      "page 1 of 2 was read",
    ])
      expect(text).toContain(expected);
    expect(text.match(/Suspect(?= +(die|wire|foreign))/g)).toHaveLength(5);
    expect(text.toLowerCase()).not.toContain("genuine");
    expect(text).not.toMatch(/NaN|undefined|\[object|Infinity/);
  });

  it("says where millimetres come from when a body size was given", () => {
    const unscaled = inventLotPictures().map((picture) => ({
      ...picture,
      scale: { umPerPx: null, U: null, origin: "none" as const },
    }));
    const given = withoutMarkup(inventReport(inventLotResult(), unscaled, [4.9, 3.9]));
    expect(given).toContain("part by part, from the body size given: 4.9 x 3.9 mm");
    expect(given).not.toContain("lengths are in pixels");
  });

  it("draws each part once, each average once, and stays small", () => {
    const pictures = report.match(/data:image\/png;base64,/g) ?? [];
    // 39 thumbnails, 5 suspects large with an overlay each, 2 averages, 1 overlay between groups.
    expect(pictures).toHaveLength(39 + 5 + 5 + 2 + 1);
    expect(report.length).toBeLessThan(6_000_000);
  });

  it("asks for nothing from outside and runs nothing", () => {
    expect(report).not.toMatch(/<script|<link|<iframe|<object|@import|url\(/i);
    expect(report).not.toMatch(/https?:/);
    const targets = [...report.matchAll(/(?:href|src)="([^"]{0,24})/g)].map((match) => match[1]);
    for (const target of targets) expect(target).toMatch(/^(#|data:image\/png;base64,)/);
    expect(report).toContain("default-src 'none'");
  });

  it("shows hostile names, and obeys none", () => {
    expect(report).toContain("&quot;&gt;&lt;img src=x onerror=alert(1)&gt;&#39;\\u202e.tif");
    expect(report).toContain("&lt;script&gt;alert(2)&lt;/script&gt;");
    expect(report).not.toMatch(/<img|\u202e/);
  });

  it("is the same text each time", () => {
    expect(inventReport()).toBe(report);
  });

  it("uses every layer it draws again", () => {
    const ids = new Set([...report.matchAll(/<image id="([^"]+)"/g)].map((match) => match[1]));
    for (const [, id] of report.matchAll(/<use class="under" href="#([^"]+)"/g)) expect(ids).toContain(id);
    expect(ids.size).toBe(2 + 5);
  });
});

it("reports a lot in which nothing could be judged", () => {
  const result = inventLotResult();
  const parts = result.parts.map((part) => ({
    ...part,
    group: null,
    suspect: false,
    assessable: false,
    because: "saturated",
    calls: [],
  }));
  const report = inventReport({
    ...result,
    parts,
    groups: [],
    suspects: [],
    compared: [],
    conclusion: "not-assessable",
    lotSuspect: { value: false, because: "" },
    aligned: { ...result.aligned, parts: [], averages: [] },
  });
  const text = withoutMarkup(report);
  expect(text).toContain("Not assessable");
  expect(text).toContain("No part could be aligned");
  expect(text).toContain("not measured: saturated");
  expect(text).not.toMatch(/NaN|undefined/);
});

it("keeps a lot of 400 parts below six megabytes, its suspects drawn", () => {
  const result = inventLotResult();
  const copies = Array.from({ length: 10 }, (_, copy) => copy);
  const named = (id: string, copy: number) => `${id}.${copy}`;
  const parts = copies.flatMap((copy) => result.parts.map((part) => ({ ...part, id: named(part.id, copy) })));
  const report = inventReport({
    ...result,
    parts,
    suspects: parts.filter(({ suspect }) => suspect).map(({ id }) => id),
    aligned: {
      ...result.aligned,
      parts: copies.flatMap((copy) =>
        result.aligned.parts.map((part) => ({ ...part, id: named(part.id, copy) })),
      ),
    },
  });
  expect(report.length).toBeLessThan(6_000_000);
  expect(withoutMarkup(report)).toContain("38 more suspects with a lower oddness are in the table");
});
