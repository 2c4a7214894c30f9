import { parse } from "csv-parse/sync";
import { describe, expect, it } from "vitest";
import { csvCell, pullListCsv } from "./pull-list-csv.ts";

describe("csvCell", () => {
  it.each([
    ["=1+1", "'=1+1"],
    ["+SUM(A1)", "'+SUM(A1)"],
    ["-cmd|x", "'-cmd|x"],
    ["@A1", "'@A1"],
    ["  =A1", "'  =A1"],
    ["\t=A1", `"'\t=A1"`],
    ["\uff1dA1", "'\uff1dA1"],
    ["-3", "-3"],
    ["+4.5", "+4.5"],
    ["2401", "2401"],
    ["a, b", '"a, b"'],
    ['4 "in', '"4 ""in"'],
    ["Ångström µ", "Ångström µ"],
  ])("%j is written as %j", (text, cell) => {
    expect(csvCell(text)).toBe(cell);
  });
});

it("is read back by a CSV reader, cell by cell, with its byte order mark", () => {
  const text = pullListCsv([
    {
      part: 'in/"a".tif#2',
      position: "12",
      picture: 'in/"a".tif',
      numberInPicture: 2,
      partsInPicture: 9,
      centrePx: [120, 45],
      code: "=HYPERLINK(1)",
      name: null,
      because: "Die 8 % smaller, seen; two lines\nhere",
    },
  ]);
  const rows = parse(text, { bom: true, columns: true }) as Record<string, string>[];
  expect(rows).toEqual([
    {
      pulled: "",
      position: "12",
      picture: 'in/"a".tif',
      "number in picture": "2",
      "parts in picture": "9",
      "x px": "120",
      "y px": "45",
      code: "'=HYPERLINK(1)",
      name: "",
      reason: "Die 8 % smaller, seen; two lines\nhere",
      part: 'in/"a".tif#2',
    },
  ]);
});
