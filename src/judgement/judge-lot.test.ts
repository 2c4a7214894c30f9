import { expect, it } from "vitest";
import { inventLotResult } from "../contract/invented-lot.fixture.ts";
import { judgeLot } from "./judge-lot.ts";

it("puts the findings of a lot in words and counts only judged parts for the assurance", () => {
  const { says: _says, assurance: _assurance, lotSuspect: _lotSuspect, ...findings } = inventLotResult();
  const result = judgeLot({ ...findings, split: { kind: "inside-code", code: "2611" } }, { quantity: 3000 });
  expect(result.lotSuspect.value).toBe(true);
  expect(result.lotSuspect.because).toContain("2611");
  expect(result.says).toContain(
    "the 39 of 40 parts that could be judged holds 2 constructions, A (36 parts), B (3 parts)",
  );
  expect(result.says).toContain("5 parts are suspect.");
  expect(result.assurance).toContain("Of 3000 parts 39 were judged and 5 were suspect");
  expect(result).not.toHaveProperty("aligned");
  expect(result.next[0]).toContain("100 % of the lot");
  expect(result.bounds).toHaveLength(3);
});
