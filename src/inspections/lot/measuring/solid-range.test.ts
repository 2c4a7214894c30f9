import { describe, expect, it } from "vitest";
import { maskOf } from "../../../numeric/test-images.ts";
import { solidRange } from "./solid-range.ts";

// Shapes drawn in text; the range is read off the drawing.

describe("the solid rectangle in a shape", () => {
  it("leaves out bars at its sides", () => {
    const pad = maskOf(
      "......#.......",
      "......#.......",
      "...#######....",
      "...#######....",
      "##########....",
      "...#######....",
      "...##########.",
      "...#######....",
      "......#.......",
    );
    expect(solidRange(pad)).toEqual({ x: [3, 9], y: [2, 7] });
  });

  it("is not parted by a wire that crosses it, up to three rows", () => {
    const crossed = (rows: number) =>
      maskOf(
        "#######",
        "#######",
        "#######",
        ...Array.from({ length: rows }, () => "......."),
        "#######",
        "#######",
      );
    expect(solidRange(crossed(3))).toEqual({ x: [0, 6], y: [0, 7] });
    expect(solidRange(crossed(4))).toEqual({ x: [0, 6], y: [0, 2] });
  });

  it("keeps rows that are notched by less than the share", () => {
    const notched = maskOf("..........", ".########.", ".#####....", ".########.", "..........");
    // The notched row holds 5 of 8: kept at a share of 0.6, and bridged at 0.7 as a row between two full ones.
    expect(solidRange(notched, 0.6)).toEqual({ x: [1, 8], y: [1, 3] });
    const atEnd = maskOf("..........", ".########.", ".########.", ".#####....", "..........");
    expect(solidRange(atEnd, 0.6)).toEqual({ x: [1, 8], y: [1, 3] });
    expect(solidRange(atEnd, 0.7)).toEqual({ x: [1, 8], y: [1, 2] });
  });

  it("is none in an empty mask", () => {
    expect(solidRange(maskOf(".....", "....."))).toBeNull();
  });
});
