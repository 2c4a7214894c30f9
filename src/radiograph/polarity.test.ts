import { existsSync, readdirSync, readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { describeNeeding, needsShared, sharedPath } from "../../test/support/needs.ts";
import { codecs } from "../cli/codecs.ts";
import { readPicture } from "../formats/read-picture.ts";
import { inventedPicture } from "./invented-picture.ts";
import type { Polarity } from "./radiograph.ts";
import { toRadiograph } from "./to-radiograph.ts";

type Truth = "dense-is-dark" | "dense-is-bright" | "either" | "refused";

/** Looked at by eye. Where the picture itself is ambiguous to us, undecided ("either") is right too. */
const electronics: Record<string, Truth> = {
  "fpga_board/board_xray_positive.png": "dense-is-dark", // solder and metal dark, open beam white
  "device/camera_xrays.png": "dense-is-dark", // metal black, open beam white
  "device/camera_neutrons.png": "dense-is-dark",
  "device/weld.png": "dense-is-bright", // plate bright, air dark: a reconstructed section
  "chip/chip_bubbles_cleaned.png": "either", // voids lighter: dense is dark, but hardly any open beam
  "chip/chip_bubbles_annotated_screenshot.png": "refused", // marks in colour
  "chip/chip_interconnect_nanoCT_section.png": "refused", // cross-hair in colour
  "chip_nano_xray/chip_single_512.tif": "dense-is-dark", // metal lines dark; glare in the middle
  "chip_nano_xray/chip_single_512_reference.tif": "either", // a flat frame
  ...Object.fromEntries(
    [1, 2, 3, 5, 6, 7].map((k) => [`chip_nano_xray/chip_tilt_${k}of7.tif`, "dense-is-dark" as const]),
  ),
  "battery_ct/wound_cell_electrode_zoom.png": "dense-is-bright", // foils bright
};
const batteryTruth: Truth = "dense-is-bright"; // cans bright, air black, sections and projections alike

async function polarityOf(path: string): Promise<Polarity["value"] | "refused"> {
  const p = await readPicture(readFileSync(path), { codecs });
  try {
    return toRadiograph(p, { name: path, sha256: "" }).polarity.value;
  } catch {
    return "refused";
  }
}

/** Wrong only when the answer is the opposite one; undecided counts as dense is dark. */
function isRight(found: Polarity["value"] | "refused", truth: Truth): boolean {
  if (truth === "refused") return found === "refused";
  if (truth === "either") return found !== "dense-is-bright" && found !== "refused";
  return found === truth;
}

describeNeeding(needsShared("pictures/electronics"), "polarity of real pictures", () => {
  const root = sharedPath("pictures/electronics");
  const batteries = existsSync(`${root}/battery_ct`) ? readdirSync(`${root}/battery_ct`) : [];
  const table: Record<string, Truth> = {
    ...Object.fromEntries(
      batteries.filter((f) => f.endsWith(".png")).map((f) => [`battery_ct/${f}`, batteryTruth]),
    ),
    ...electronics,
  };
  test.each(Object.entries(table))("%s: %s", async (file, truth) => {
    const found = await polarityOf(`${root}/${file}`);
    expect(isRight(found, truth), `found ${found}`).toBe(true);
  });
});

describeNeeding(needsShared("simulated/F"), "polarity of simulated pictures", () => {
  const bright = new Set(["A9/part_006.tif", "D/D7.tif", "F/inverted.tif"]);
  const files = [
    ...[
      "reference.tif",
      "inverted.tif",
      "ok16.png",
      "gray8.png",
      "half_out.tif",
      "stacked.tif",
      "underexposed.tif",
    ].map((f) => `F/${f}`),
    ...["big_endian.tif", "tiled.tif", "two_pages.tif", "mirrored.tif", "rotated_90.tif"].map(
      (f) => `F/${f}`,
    ),
    ...[
      "A2/tray_00.tif",
      "A2/tray_04.tif",
      "A2/tray_06.tif",
      "A5/tape_00.tif",
      "A6/tray_00.tif",
      "A7/part_000.tif",
    ],
    ...[
      "A8/part_000.tif",
      "A9/part_000.tif",
      "A9/part_006.tif",
      "A9/part_007.tif",
      "A10/part_000.tif",
      "A10/part_001.tif",
    ],
    ...["B/good_00.tif", "B/test_00.tif", "C/C06.tif", "C/C08.tif", "C/C16.tif"],
    ...["D/D1.tif", "D/D2.tif", "D/D3.png", "D/D7.tif"],
    ...["E/edge_a.tif", "E/edge_c.tif", "E/duplex_coarse.tif", "E/wedge_corrected.tif", "E/average_01.tif"],
  ];
  test.each(files)("%s", async (file) => {
    expect(await polarityOf(sharedPath(`simulated/${file}`))).toBe(
      bright.has(file) ? "dense-is-bright" : "dense-is-dark",
    );
  });
});

describe("findPolarity", () => {
  const part = (x: number, y: number): number => (x > 60 && x < 140 && y > 50 && y < 110 ? 0.4 : 1);
  const size = { widthPx: 200, heightPx: 160 };
  const of = (p: Parameters<typeof inventedPicture>[0]): Polarity =>
    toRadiograph(inventedPicture(p), { name: "", sha256: "" }).polarity;

  test("a part in open beam, and the same stored upside down", () => {
    const seen = inventedPicture({ ...size, grey: (x, y) => 3000 * part(x, y), gain: 0.2 });
    const inverted = { ...seen, samples: seen.samples.map((v) => 4095 - v) };
    const polarity = (p: typeof seen): Polarity =>
      toRadiograph(p as never, { name: "", sha256: "" }).polarity;
    expect(polarity(seen).value).toBe("dense-is-dark");
    expect(polarity(inverted as typeof seen).value).toBe("dense-is-bright");
  });

  test("a part that fills the field is told by its noise alone", () => {
    const steps = (x: number): number => 0.2 + 0.1 * Math.floor(x / 25);
    const found = of({ ...size, grey: (x) => 3000 * steps(x), gain: 1 });
    expect(found).toMatchObject({ value: "dense-is-dark", because: "noise" });
  });

  test("min-is-white is a hint: it decides only when the picture says nothing", () => {
    const nothing = inventedPicture({
      ...size,
      grey: () => 2000,
      gain: 1,
      of: { photometric: "min-is-white" },
    });
    const polarity = toRadiograph(nothing, { name: "", sha256: "" }).polarity;
    expect(polarity).toMatchObject({ value: "dense-is-bright", because: "metadata" });
    const says = inventedPicture({
      ...size,
      grey: (x, y) => 3000 * part(x, y),
      gain: 0.2,
      of: { photometric: "min-is-white" },
    });
    expect(toRadiograph(says, { name: "", sha256: "" }).polarity.value).toBe("dense-is-dark");
  });

  test("a person's word stands, and a contradicting picture is noted", () => {
    const p = inventedPicture({ ...size, grey: (x, y) => 3000 * part(x, y), gain: 0.2 });
    const r = toRadiograph(p, { name: "", sha256: "", polarity: "dense-is-bright" });
    expect(r.polarity).toEqual({ value: "dense-is-bright", because: "person", confidence: 1, evidence: -1 });
    expect(r.notes.join(" ")).toMatch(/looks as if dense is dark/);
  });
});
