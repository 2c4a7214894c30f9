import { describe, expect, it } from "vitest";
import { sharesSide } from "./measured-rectangle.ts";

const pad = { centrePx: [100, 80], angleRad: 0, lengthPx: 60, widthPx: 40 } as const;

describe("a die's outline", () => {
  it("shares a side with its pad where both lie within the blur", () => {
    expect(sharesSide({ ...pad, centrePx: [100, 87], lengthPx: 30, widthPx: 25 }, pad)).toBe(true);
    const across = { ...pad, angleRad: Math.PI / 2, lengthPx: 40, widthPx: 60 };
    expect(sharesSide({ ...pad, centrePx: [86, 80], lengthPx: 31, widthPx: 25 }, across)).toBe(true);
  });

  it("shares none where bare pad shows all around, or where opposite sides meet", () => {
    expect(sharesSide({ ...pad, centrePx: [100, 85], lengthPx: 30, widthPx: 25 }, pad)).toBe(false);
    expect(sharesSide({ ...pad, centrePx: [145, 80], lengthPx: 30, widthPx: 25 }, pad)).toBe(false);
  });
});
