import { describe, expect, it } from "vitest";
import { isHollow } from "./hollow-course.ts";

const none = new Array<number>(12).fill(0);

describe("a course", () => {
  it("that stands out everywhere between lead and rim is no hollow one", () => {
    expect(isHollow([9, 5, 5, 6, 5, 5, 4, 5, 5, 5, 5, 0], none)).toBe(false);
  });

  it("is hollow where several stretches show nothing though nothing hides them", () => {
    expect(isHollow([9, 15, 15, 11, 14, 7, 7, 0, 0, 0, 15, 22], none)).toBe(true);
    expect(isHollow(none, none)).toBe(true);
  });

  it("may be hidden by what is dense beside it, or where no row tells", () => {
    const wire = [9, 5, 0, 0, 5, 5, 3, 8, 5, 5, 2, 5];
    expect(isHollow(wire, none)).toBe(true);
    const chance = [0, 0, 7, 20, 0, 0, 0, 0, 0, 0, 0, 0];
    expect(isHollow(wire, chance)).toBe(false);
    expect(isHollow([9, 5, Number.NaN, Number.NaN, 5, 5, 3, 8, 5, 5, 2, 5], none)).toBe(false);
  });

  it("that is even from its middle to the die is a wire, whatever hides it beside its lead", () => {
    expect(isHollow([3, 17, 0, 0, 0, 0, 11, 9, 9, 9, 9, 11], none)).toBe(false);
    expect(isHollow([3, 17, 0, 0, 0, 0, 15, 9, 9, 9, 5, 11], none)).toBe(true);
  });
});
