import { describe, expect, it } from "vitest";
import { inventLotPictures, inventLotResult } from "../contract/invented-lot.fixture.ts";
import { printable } from "../contract/printable.ts";
import { toLotDocument } from "../contract/to-lot-document.ts";
import { lotTable } from "./lot-table.ts";
import { textTable } from "./text-table.ts";

const options = { scaleUmPerPx: null, bodyMm: null, quantity: 3000 };
const run = { startedAt: "2001-02-03T04:05:06Z", millis: 1 };
const hostile = "bad\x1b[2J\nname\u202e.tif";

function inventDocument() {
  const unreadable = [{ picture: hostile, reason: "ends after 812 of 4096 bytes" }];
  return toLotDocument(inventLotResult(), inventLotPictures(), unreadable, [], options, run);
}

function withoutColour(text: string): string {
  return ["1", "2", "22"].reduce((plain, code) => plain.replaceAll(`\x1b[${code}m`, ""), text);
}

describe("lotTable", () => {
  const plain = lotTable(inventDocument(), { columns: 100, colour: false });

  it("holds conclusion, groups, suspects with reasons, medians and limits", () => {
    expect(plain).toMatch(/^MIXED, 5 PARTS SUSPECT {3}40 parts found in 7 pictures, 39 judged\n/);
    expect(plain).toMatch(/^A +36 +none given/m);
    expect(plain).toMatch(/tray_02\.tif#3 +A +2\.2 +wire-absent: The wire/);
    expect(plain).toMatch(/^die length +1\.69\d ± 0\.0\d+ +1\.4\d+ ± 0\.0\d+ +mm$/m);
    expect(plain).toMatch(/^die attach voids +not assessable +the die attach/m);
    expect(plain).toContain("Files: 7 read, 1 unreadable, 0 left out on purpose.");
    expect(plain.toLowerCase()).not.toContain("genuine");
  });

  it("keeps to the width and lets no file name act on the terminal", () => {
    expect(Math.max(...plain.split("\n").map((line) => line.length))).toBeLessThanOrEqual(100);
    expect(plain).not.toMatch(/[^\n -~±µ°]/);
    expect(plain).toContain("bad\\x1b[2J\\x0aname\\u202e.tif");
  });

  it("says the same with colour as without", () => {
    const coloured = lotTable(inventDocument(), { columns: 100, colour: true });
    expect(coloured).not.toBe(plain);
    expect(withoutColour(coloured)).toBe(plain);
  });
});

it("wraps the column that gives way, cutting a word that is too long", () => {
  const heads = [
    { title: "n", align: "right" as const },
    { title: "text", wraps: true },
  ];
  const words = `one two three ${"x".repeat(30)}`;
  expect(textTable(heads, [["12", words]], 24)).toBe(
    [" n  text", "12  one two three", `    ${"x".repeat(20)}`, `    ${"x".repeat(10)}`].join("\n"),
  );
});

it("leaves ordinary text alone", () => {
  expect(printable("réel 3 µm/№ 4.tif")).toBe("réel 3 µm/№ 4.tif");
});
