import { describe, expect, it } from "vitest";
import { measured, notMeasured } from "../units/measured.ts";
import { NotFiniteError } from "./errors.ts";
import { inventLotPictures, inventLotResult } from "./invented-lot.fixture.ts";
import { lotDocumentSchema, lotJsonSchema } from "./lot-document.ts";
import { toLotDocument } from "./to-lot-document.ts";

const run = { startedAt: "2001-02-03T04:05:06Z", millis: 812, threads: 1 };
const options = { scaleUmPerPx: null, bodyMm: [5.52, 4.05] as const, quantity: 3000, codes: "codes.csv" };
const unreadable = [{ picture: "half.tif", reason: "ends after 812 of 4096 bytes" }];
const ignored = [{ picture: "dark.tif", because: "dark frame of tray_00.tif" }];

function inventDocument(result = inventLotResult()) {
  return toLotDocument(result, inventLotPictures(), unreadable, ignored, options, run);
}

describe("toLotDocument", () => {
  it("makes a document its own schema accepts, after a trip through JSON", () => {
    const document = inventDocument();
    const read: unknown = JSON.parse(JSON.stringify(document));
    expect(lotDocumentSchema.parse(read)).toEqual(document);
    expect(document.parts).toHaveLength(40);
    expect(document).not.toHaveProperty("aligned");
    expect(document.options).toMatchObject({ quantity: 3000, codes: "codes.csv" });
  });

  it("rounds a number by its own doubt and keeps a missing number's reason", () => {
    const result = inventLotResult();
    const [first, ...rest] = result.parts;
    const measurements = {
      ...first.measurements,
      dieLength: measured(1.692345, 0.00617, "mm"),
      dieWidth: notMeasured("mm", "saturated"),
    };
    const part = inventDocument({ ...result, parts: [{ ...first, measurements }, ...rest] }).parts[0];
    expect(part.measurements.dieLength).toEqual({ value: 1.692, U: 0.012, k: 2, unit: "mm" });
    expect(part.measurements.dieWidth).toEqual({ value: null, unit: "mm", because: "saturated" });
    expect(part.measurements.leads).toEqual({ value: 16, U: 0, k: 2, unit: "1" });
  });

  it("refuses a NaN and names the place", () => {
    const result = inventLotResult();
    const [first, ...rest] = result.parts;
    const measurements = { ...first.measurements, dieTurn: measured(Number.NaN, 0.1, "deg") };
    const broken = { ...result, parts: [{ ...first, measurements }, ...rest] };
    expect(() => inventDocument(broken)).toThrow(NotFiniteError);
    expect(() => inventDocument(broken)).toThrow("parts[0].measurements.dieTurn.value");
  });

  it("has a schema that refuses a number without doubt and an unknown key", () => {
    const document = inventDocument();
    const bare = structuredClone(document) as { parts: { measurements: Record<string, unknown> }[] };
    bare.parts[0].measurements.dieLength = { value: 1.7, unit: "mm" };
    expect(lotDocumentSchema.safeParse(bare).success).toBe(false);
    expect(lotDocumentSchema.safeParse({ ...document, genuine: true }).success).toBe(false);
  });
});

describe("the published JSON Schema", () => {
  it("is the one this code makes (vitest -u writes it anew)", async () => {
    const text = `${JSON.stringify(lotJsonSchema(), null, 2)}\n`;
    await expect(text).toMatchFileSnapshot("../../docs/schema/candler.lot-1.schema.json");
  });
});
