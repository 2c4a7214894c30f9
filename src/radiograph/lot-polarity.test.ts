import { describe, expect, test } from "vitest";
import { inventedPicture } from "./invented-picture.ts";
import { followsLot, lotPolarity } from "./lot-polarity.ts";
import type { Polarity } from "./radiograph.ts";
import { toRadiograph } from "./to-radiograph.ts";

const shows = (evidence: number): Polarity => ({
  value: Math.abs(evidence) < 0.12 ? "unknown" : evidence > 0 ? "dense-is-dark" : "dense-is-bright",
  because: Math.abs(evidence) < 0.12 ? "undecided" : "background",
  confidence: Math.abs(evidence),
  evidence,
});

describe("polarity of a lot", () => {
  test("is that of its pictures together, also where some say nothing or the opposite", () => {
    expect(lotPolarity([0.3, 0.25, 0.05, -0.13].map(shows))).toBe("unknown");
    expect(lotPolarity([0.3, 0.25, 0.3, 0.05, -0.13].map(shows))).toBe("dense-is-dark");
    expect(lotPolarity([-0.6, -0.4, 0.13].map(shows))).toBe("dense-is-bright");
  });

  test("is unknown where weak words stand against silence, however many", () => {
    expect(lotPolarity([...new Array(24).fill(-0.07), ...new Array(4).fill(-0.15)].map(shows))).toBe(
      "unknown",
    );
    expect(lotPolarity([])).toBe("unknown");
  });

  test("is followed by the pictures that are not sure of themselves", () => {
    expect(followsLot(shows(-0.15), "unknown")).toBe(true);
    expect(followsLot(shows(0.15), "unknown")).toBe(false);
    expect(followsLot(shows(0.02), "dense-is-dark")).toBe(true);
    expect(followsLot(shows(0.2), "dense-is-dark")).toBe(false);
    expect(followsLot(shows(-0.8), "dense-is-dark")).toBe(false);
    expect(followsLot({ ...shows(-0.3), because: "person" }, "dense-is-dark")).toBe(false);
  });

  test("a radiograph says when it was read as its lot says; a person's word stands above it", () => {
    const size = { widthPx: 64, heightPx: 64 };
    const picture = inventedPicture({ ...size, grey: (x) => 2000 + 20 * (x % 8), gain: 0 });
    const read = toRadiograph(picture, { name: "", sha256: "", lotPolarity: "dense-is-bright" });
    expect(read.polarity).toMatchObject({ value: "dense-is-bright", because: "lot" });
    const said = toRadiograph(picture, {
      name: "",
      sha256: "",
      lotPolarity: "dense-is-bright",
      polarity: "dense-is-dark",
    });
    expect(said.polarity).toMatchObject({ value: "dense-is-dark", because: "person" });
  });
});
