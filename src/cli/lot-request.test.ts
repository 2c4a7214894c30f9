import { describe, expect, it } from "vitest";
import { UsageError } from "./errors.ts";
import { parseLotRequest } from "./lot-request.ts";

describe("parseLotRequest", () => {
  it("takes everything after --exemplar up to the next option for exemplars", () => {
    const request = parseLotRequest([
      "lot",
      "--exemplar",
      "a.tif",
      "b.tif",
      "--quantity",
      "40",
      "more.tif",
      "--exemplar",
      "c.tif",
    ]);
    expect(request.inputs).toEqual(["lot", "more.tif"]);
    expect(request.exemplars).toEqual(["a.tif", "b.tif", "c.tif"]);
    expect(request.options.quantity).toBe(40);
  });

  it("says where the lot's pictures went when all were taken for exemplars", () => {
    expect(() => parseLotRequest(["--exemplar", "a.tif", "lot/1.tif", "lot/2.tif"])).toThrow(
      /Put the lot's pictures first/,
    );
  });

  it("takes a wire by material and diameter, and says what it knows otherwise", () => {
    expect(parseLotRequest(["lot", "--wire", "copper:20"]).options.wire).toEqual({
      material: "copper",
      diameterUm: 20,
    });
    for (const wrong of ["copper", "brass:20", "gold:thin", "gold:900"])
      expect(() => parseLotRequest(["lot", "--wire", wrong]), wrong).toThrow(UsageError);
  });

  it("refuses an option it does not know", () => {
    expect(() => parseLotRequest(["lot", "--exemplars", "a.tif"])).toThrow(UsageError);
  });
});
