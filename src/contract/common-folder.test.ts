import { expect, it } from "vitest";
import { commonFolder, commonStart, inFolder } from "./common-folder.ts";

it.each([
  [["a/b/1.tif", "a/b/2.tif"], "a/b/"],
  [["a/b/1.tif", "a/bc/2.tif"], "a/"],
  [["1.tif", "2.tif"], ""],
  [["/x/1.tif", "/y/2.tif"], "/"],
  [["x\\y\\1.tif", "x\\y\\2.tif"], "x\\y\\"],
  [["a/b/1.tif"], ""],
  [[], ""],
])("of %j is %j", (names, folder) => {
  expect(commonFolder(names)).toBe(folder);
});

it("shortens only what lies inside", () => {
  expect(inFolder("a/b/1.tif#2", "a/b/")).toBe("1.tif#2");
  expect(inFolder("c/1.tif", "a/b/")).toBe("c/1.tif");
});

it("leaves out a long common start, up to a separator", () => {
  const names = ["in/stage_2001-02-03_tray_01.tif", "in/stage_2001-02-03_tray_02.tif"];
  expect(commonStart(names)).toBe("in/stage_2001-02-03_tray_");
  expect(commonStart(["in/tray_01.tif", "in/tray_02.tif"])).toBe("in/");
  expect(commonStart(["in/same.tif", "in/same.tif"])).toBe("in/");
  expect(commonStart(["one.tif"])).toBe("");
});
