import { describe, expect, it } from "vitest";
import { physicalParts } from "./physical-parts.ts";

const part = (id: string, name: string | null, view: string | null, suspect = false, assessable = true) => ({
  id,
  name,
  view,
  group: assessable ? `${view} A` : null,
  suspect,
  assessable,
});

describe("physicalParts", () => {
  it("calls a part suspect that is so in either view, and says what each view found", () => {
    const found = physicalParts(
      [
        part("t1", "P1", "top"),
        part("t2", "P2", "top"),
        part("s1", "P1", "side", true),
        part("s2", "P2", "side"),
      ],
      ["top", "side"],
    );
    expect(found.map(({ name, suspect, says }) => [name, suspect, says])).toEqual([
      ["P1", true, "top: nothing found; side: suspect."],
      ["P2", false, "top: nothing found; side: nothing found."],
    ]);
    expect(found[0].views.map(({ part }) => part)).toEqual(["t1", "s1"]);
  });

  it("says which view is missing or could not be judged", () => {
    const [one, two] = physicalParts(
      [part("t1", "P1", "top"), part("t2", "P2", "top", false, false), part("x", null, "top")],
      ["top", "side"],
    );
    expect(one.says).toBe("top: nothing found; side: not seen.");
    expect(two.says).toBe("top: not judged; side: not seen.");
  });
});
