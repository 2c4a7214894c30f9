import { describe, expect, it } from "vitest";
import type { PerformanceDocument } from "./performance-document.ts";
import { performanceDocumentSchema, performanceJsonSchema } from "./performance-document.ts";

const none = { count: 0, of: 0, share: null, low: null, high: null };
const document: PerformanceDocument = {
  schema: "candler.performance/1",
  method: { id: "lot", version: "0" },
  invented: true,
  options: { preset: "so8-null", seed: 3, lots: 1, parts: 8, kv: null, umPerPx: null, openBeamSnr: null },
  plan: {
    description: "8 of one construction",
    parts: 8,
    packages: ["SO-8"],
    umPerPx: 13.5,
    exposures: [{ kv: 80, filterMm: { aluminium: 1 }, openBeamSnr: 600 }],
  },
  says: [],
  assumed: [],
  detected: none,
  detectedByKind: [],
  falselySuspect: { count: 0, of: 8, share: 0, low: 0, high: 0.3694 },
  falselyCalled: { count: 0, of: 8, share: 0, low: 0, high: 0.3694 },
  falselySplit: none,
  withFalseSuspect: none,
  anythingFalse: none,
  toldApart: none,
  notJudged: none,
  lots: [],
  run: { startedAt: "2001-02-03T04:05:06Z", millis: 8 },
};

describe("the performance document", () => {
  it("is accepted by its schema; a share above 1, or one that hides that parts are invented, is not", () => {
    expect(performanceDocumentSchema.parse(JSON.parse(JSON.stringify(document)))).toEqual(document);
    const above = { ...document, detected: { ...none, share: 1.2 } };
    expect(performanceDocumentSchema.safeParse(above).success).toBe(false);
    expect(performanceDocumentSchema.safeParse({ ...document, invented: false }).success).toBe(false);
  });

  it("has the published JSON Schema (vitest -u writes it anew)", async () => {
    const text = `${JSON.stringify(performanceJsonSchema(), null, 2)}\n`;
    await expect(text).toMatchFileSnapshot("../../docs/schema/candler.performance-1.schema.json");
  });
});
