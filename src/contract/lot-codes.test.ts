import { describe, expect, it } from "vitest";
import { CodesTableError } from "./errors.ts";
import { lotCodes, readCodesRows } from "./lot-codes.ts";

const table = (text: string) => readCodesRows(text.split("\n").map((line) => line.split(",")));

describe("readCodesRows", () => {
  it("finds columns by name in any order and case, and leaves others alone", () => {
    expect(table("Remark,CODE,Part\nx,2401,tray.tif#3\n,,\ny,,tray.tif#4")).toEqual([
      { row: 2, of: "tray.tif#3", code: "2401", position: null, view: null, name: null, sample: null },
      { row: 4, of: "tray.tif#4", code: null, position: null, view: null, name: null, sample: null },
    ]);
  });

  it.each([
    ["", /empty file/],
    ["part,remark\na,b", /expected a column "code".*got "part", "remark"/],
    ["code,position\n1,2", /expected a column "part" or "picture", got "code", "position"/],
    ["part,code,Code\na,1,2", /"code" stands there twice/],
    ["part,code", /got none/],
    ["part,code\n,2401", /row 2.*empty cell/],
    ["part,code\na,1\nb,1\na,2", /row 4.*"a" has a row already \(row 2\)/],
    [`part,code\na,${"9".repeat(300)}`, /at most 200 characters/],
  ])("refuses %j", (text, says) => {
    expect(() => table(text)).toThrow(CodesTableError);
    expect(() => table(text)).toThrow(says);
  });
});

describe("lotCodes", () => {
  const pictures = ["in/a/tray1.tif", "in/a/tray2.tif", "in/b/one.tif"];
  const of = (codes: ReturnType<typeof lotCodes>, picture: string, number?: number) =>
    codes.of({ picture, id: number === undefined ? picture : `${picture}#${number}` });

  it("names pictures by path or by the end of it, parts over their picture", () => {
    const codes = lotCodes(
      table("part,code,position\ntray1.tif,2401,\na/tray1.tif#2,2433,7\none.tif#1,2510,9"),
      pictures,
    );
    expect(of(codes, "in/a/tray1.tif", 1)).toMatchObject({ code: "2401", position: null });
    expect(of(codes, "in/a/tray1.tif", 2)).toMatchObject({ code: "2433", position: "7" });
    expect(of(codes, "in/b/one.tif")).toMatchObject({ code: "2510", position: "9" });
    expect(of(codes, "in/a/tray2.tif", 1).code).toBe(null);
  });

  it("lists pictures it does not know, with those there are", () => {
    const rows = table("picture,code\nc.tif,1\nd.tif#2,1");
    expect(() => lotCodes(rows, pictures)).toThrow(/"c.tif", "d.tif#2".*in\/a\/tray1.tif, in\/a\/tray2.tif/);
    expect(() => lotCodes(table("picture,code\nx.tif,1"), ["a/x.tif", "b/x.tif"])).toThrow("no one picture");
    expect(() => lotCodes(table("picture,code\ntray1.tif,1\na/tray1.tif,2"), pictures)).toThrow(
      "are the same",
    );
  });

  it("refuses a number that its picture does not hold, and lets unread pictures be", () => {
    const codes = lotCodes(table("part,code\ntray1.tif#13,2401\ntray2.tif#5,2401"), pictures);
    const found = Array.from({ length: 12 }, (_, i) => ({
      id: `in/a/tray1.tif#${i + 1}`,
      picture: "in/a/tray1.tif",
    }));
    expect(() => codes.requireFound(found)).toThrow(/tray1.tif#13.*shows 12 parts/);
    expect(() => codes.requireFound([])).not.toThrow();
  });

  it("takes views a picture at a time, with the parts' names", () => {
    const codes = lotCodes(
      table("picture,view,name\ntray1.tif,top,P1\ntray2.tif,side,P1\none.tif,top,P2"),
      pictures,
    );
    expect(codes.views).toEqual(["top", "side"]);
    expect(of(codes, "in/b/one.tif")).toMatchObject({ view: "top", name: "P2" });
    expect(() => lotCodes(table("picture,view,name\ntray1.tif,top,P1"), pictures)).toThrow(
      "Give each picture its view",
    );
    expect(() => lotCodes(table("part,view\ntray1.tif,top\ntray1.tif#2,side"), ["tray1.tif"])).toThrow(
      "one view",
    );
    const unnamed = table("picture,view\ntray1.tif,top\ntray2.tif,side\none.tif,side");
    expect(() => lotCodes(unnamed, pictures)).toThrow('"tray1.tif" has no name');
  });
});
