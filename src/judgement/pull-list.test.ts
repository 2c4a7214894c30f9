import { describe, expect, it } from "vitest";
import { pullList } from "./pull-list.ts";

const part = (id: string, picture: string, position: string | null) => ({
  id,
  picture,
  cornersPx: [
    [10, 20],
    [30, 20],
    [30, 61],
    [10, 61],
  ] as const,
  code: "2401",
  position,
  name: null,
  calls: id === "b#2" ? [{ says: "The die is absent." }] : [],
});

describe("pullList", () => {
  const parts = [
    part("a#1", "a", "12"),
    part("a#2", "a", "9"),
    part("b#1", "b", null),
    part("b#2", "b", "A7"),
    part("c", "c", "100"),
  ];

  it("orders by position: numbers by value, then texts, then those without", () => {
    const list = pullList(parts, ["a#1", "a#2", "b#1", "b#2", "c"]);
    expect(list.map(({ part }) => part)).toEqual(["a#2", "a#1", "c", "b#2", "b#1"]);
  });

  it("holds a part once that is suspect in two views", () => {
    const views = [
      { ...parts[2], name: "P1" },
      { ...parts[3], name: "P1", position: null },
    ];
    const list = pullList(views, ["b#1", "b#2"]);
    expect(list).toHaveLength(1);
    expect(list[0].because).toContain("; in b#2: The die is absent.");
  });

  it("holds suspects only, with their place in the picture and the reason", () => {
    const [dieless] = pullList(parts, ["b#2"]);
    expect(dieless).toMatchObject({
      numberInPicture: 2,
      partsInPicture: 2,
      centrePx: [20, 41],
      because: "The die is absent.",
    });
    expect(pullList(parts, ["c"])[0].because).toContain("minority");
    const many = { ...parts[3], calls: ["a", "b", "c", "d"].map((says) => ({ says })) };
    expect(pullList([many], ["b#2"])[0].because).toBe("a; b; and 2 more");
    expect(pullList(parts, [])).toEqual([]);
  });
});
