import { describe, expect, test } from "vitest";
import { pairCalibrationFrames } from "./calibration-frames.ts";

describe("pairCalibrationFrames", () => {
  test("no frames: every file is a picture", () => {
    const { pictures, ignored } = pairCalibrationFrames(["a/one.tif", "a/two.tif"]);
    expect(pictures.map((p) => p.picture)).toEqual(["a/one.tif", "a/two.tif"]);
    expect(pictures.every((p) => p.flats.length === 0 && p.darks.length === 0)).toBe(true);
    expect(ignored).toEqual([]);
  });

  test("NAME_raw takes NAME_flat and NAME_dark beside it", () => {
    const { pictures, ignored } = pairCalibrationFrames([
      "d/p1_raw.tif",
      "d/p1_flat.tif",
      "d/p1_dark.tif",
      "e/p1_flat.tif",
    ]);
    expect(pictures[0]).toEqual({
      picture: "d/p1_raw.tif",
      flats: ["d/p1_flat.tif"],
      darks: ["d/p1_dark.tif"],
    });
    expect(ignored.map((i) => i.picture)).toEqual(["d/p1_flat.tif", "d/p1_dark.tif"]);
    // Another folder's frame isn't it.
    expect(pictures[1].picture).toBe("e/p1_flat.tif");
  });

  test("a corrected NAME beside NAME_raw is the one used", () => {
    const { pictures, ignored } = pairCalibrationFrames([
      "p3.tif",
      "p3_dark.tif",
      "p3_flat.tif",
      "p3_raw.tif",
      "p4.tif",
    ]);
    expect(pictures).toEqual([
      { picture: "p3.tif", flats: [], darks: [] },
      { picture: "p4.tif", flats: [], darks: [] },
    ]);
    expect(ignored).toContainEqual({
      picture: "p3_raw.tif",
      because: "raw picture of p3.tif, which is already corrected",
    });
    expect(ignored).toHaveLength(3);
  });

  test("frames of the folder, numbered, capital letters, other separators", () => {
    const { pictures, ignored } = pairCalibrationFrames([
      "w/wood_0000.tif",
      "w/OB_0000.tif",
      "w/ob_0001.tif",
      "w/dc.tif",
      "v/x.tif",
    ]);
    expect(pictures[0]).toEqual({
      picture: "w/wood_0000.tif",
      flats: ["w/OB_0000.tif", "w/ob_0001.tif"],
      darks: ["w/dc.tif"],
    });
    expect(pictures[1]).toEqual({ picture: "v/x.tif", flats: [], darks: [] });
    expect(ignored).toHaveLength(3);
  });

  test("flats that are pictures of their own: numbers with gaps, or nothing to correct", () => {
    const flats = ["E/flat_050.tif", "E/flat_130.tif", "E/edge.tif"];
    expect(pairCalibrationFrames(flats).pictures.map((p) => p.picture)).toEqual(flats);
    expect(pairCalibrationFrames(["E/flat.tif"]).pictures.map((p) => p.picture)).toEqual(["E/flat.tif"]);
  });

  test("frames named by a person go before names", () => {
    const { pictures, ignored } = pairCalibrationFrames(["a.tif", "b_raw.tif", "b_flat.tif", "f.tif"], {
      flats: ["f.tif"],
      darks: ["elsewhere/d.tif"],
    });
    expect(pictures).toEqual([
      { picture: "a.tif", flats: ["f.tif"], darks: ["elsewhere/d.tif"] },
      { picture: "b_raw.tif", flats: ["f.tif"], darks: ["elsewhere/d.tif"] },
    ]);
    expect(ignored).toEqual([
      { picture: "b_flat.tif", because: "flat frame of b_raw.tif" },
      { picture: "f.tif", because: "flat frame named for all pictures" },
    ]);
  });

  test("a picture whose name only contains the word stays a picture", () => {
    const names = ["flatpack.tif", "darkroom.tif", "reference.tif", "part-raw2.tif"];
    expect(pairCalibrationFrames(names).pictures.map((p) => p.picture)).toEqual(names);
  });
});
