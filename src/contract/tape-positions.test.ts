import { expect, it } from "vitest";
import { tapePositions } from "./tape-positions.ts";

const part = (id: string) => ({ id, picture: id.split("#")[0] });

it("counts one pocket a picture, empty ones included, where pictures show one part", () => {
  const { positions, says } = tapePositions(101, ["a", "b", "c"], [part("a"), part("c")]);
  expect([...positions]).toEqual([
    ["a", "101"],
    ["c", "103"],
  ]);
  expect(says).toContain("pictures without a part included");
});

it("counts parts in reading order where pictures show several, and says that gaps are not counted", () => {
  const { positions, says } = tapePositions(
    1,
    ["b", "empty", "a"],
    [part("a#1"), part("a#2"), part("b#1"), part("b#2")],
  );
  expect([...positions]).toEqual([
    ["b#1", "1"],
    ["b#2", "2"],
    ["a#1", "3"],
    ["a#2", "4"],
  ]);
  expect(says).toContain("no part was found are not counted");
});
