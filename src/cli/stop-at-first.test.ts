import { expect, it } from "vitest";
import type { InspectedInPortions } from "../inspections/lot/portions/inspect-in-portions.ts";
import { inspectUntilSuspect, nextPortion } from "./stop-at-first.ts";

const pictures = Array.from({ length: 45 }, (_, i) => ({ picture: `p${i}`, flats: [], darks: [] }));

/** An inspector for pictures of `perPicture` parts, of which those numbered in `odd` are suspect. */
function inspectorOf(perPicture: number, odd: readonly number[]) {
  const portions: number[] = [];
  const inspect = async (some: readonly unknown[]): Promise<InspectedInPortions> => {
    portions.push(some.length);
    const parts = Array.from({ length: perPicture * some.length }, () => ({ assessable: true }));
    const suspects = parts.length < 8 ? [] : odd.filter((at) => at < parts.length);
    return { findings: { parts, suspects, conclusion: "consistent" } } as unknown as InspectedInPortions;
  };
  return { portions, inspect };
}

it("starts with enough parts for a minority and grows by half", () => {
  expect(nextPortion(0, 0, 45)).toBe(1);
  expect(nextPortion(1, 1, 45)).toBe(8);
  expect(nextPortion(1, 9, 45)).toBe(2);
  expect(nextPortion(1, 0, 45)).toBe(8);
  expect(nextPortion(8, 8, 45)).toBe(12);
  expect(nextPortion(18, 18, 45)).toBe(27);
  expect(nextPortion(27, 27, 45)).toBe(45);
});

it("stops at the first portion with a suspect", async () => {
  const { portions, inspect } = inspectorOf(1, [16]);
  expect((await inspectUntilSuspect(pictures, inspect)).taken).toBe(18);
  expect(portions).toEqual([1, 8, 12, 18]);
});

it("looks at a tray at a time where one holds enough parts", async () => {
  const { portions, inspect } = inspectorOf(12, [13]);
  expect((await inspectUntilSuspect(pictures, inspect)).taken).toBe(2);
  expect(portions).toEqual([1, 2]);
});

it("looks at all where nothing is suspect, with at most three times the work", async () => {
  const { portions, inspect } = inspectorOf(1, []);
  expect((await inspectUntilSuspect(pictures, inspect)).taken).toBe(45);
  expect(portions.reduce((sum, size) => sum + size, 0)).toBeLessThan(3 * 45);
});
