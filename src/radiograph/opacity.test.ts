import { expect, test } from "vitest";
import { opacity } from "./opacity.ts";

test("opacity is 1 - exp(-a), as the engine computes it, and knows no value where there is none", () => {
  for (let a = -2; a <= 10; a += 0.125) expect(opacity(a)).toBeCloseTo(1 - Math.exp(-a), 7);
  expect(opacity(0)).toBe(0);
  expect(opacity(Number.NaN)).toBeNaN();
});
