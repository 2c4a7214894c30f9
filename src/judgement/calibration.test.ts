import { expect, it } from "vitest";
import { calibrationSays } from "./calibration.ts";

it.each([
  ["2001-02-03", "2001-02-03T23:59:59Z", false],
  ["2001-02-02", "2001-02-03T00:00:00Z", true],
  ["2002-01-01", "2001-12-31T00:00:00Z", false],
])("due %s, run %s: overdue %s", (due, run, overdue) => {
  const judged = calibrationSays(due, run);
  expect(judged.overdue).toBe(overdue);
  expect(judged.says.includes("OVERDUE")).toBe(overdue);
});

it("says that no date was stated", () => {
  expect(calibrationSays(undefined, "2001-02-03T00:00:00Z")).toEqual({
    overdue: false,
    says: "calibration due: not stated",
  });
});
