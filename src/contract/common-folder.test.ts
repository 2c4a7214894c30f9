import { expect, it } from "vitest";
import { commonFolder, inFolder } from "./common-folder.ts";

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
