import { readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, expect, it } from "vitest";
import { drawLot, lotRun, scenarioFolder } from "./scenario-lot.ts";

const folder = scenarioFolder();
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const put = (name: string, text: string) => writeFileSync(join(folder, name), text);

/** Variant of each part. */
let truth: Map<string, string>;

beforeAll(() => {
  truth = drawLot(folder, "lot", { variants: { A: 10, B: 8 } });
  drawLot(folder, "known", {
    variants: { A: 1 },
    changes: { layout: { kind: "single", widthPx: 400, heightPx: 400 } },
  });
  drawLot(folder, "other", { variants: { B: 9 } });
});

const table = (codeOf: (variant: string) => string) =>
  `part,code\n${[...truth].map(([id, variant]) => `${id},${codeOf(variant)}`).join("\n")}\n`;

/**
 * An exemplar of another date code that differs. Success: both codes are on record, and the difference is a question to
 * the maker: no part is suspect for it, and it is not passed over either.
 */
it("4: leaves a difference from an exemplar of another code to the maker", () => {
  put(
    "job.json",
    JSON.stringify({
      code: "2433",
      exemplars: [{ picture: "known/part_000.tif", code: "2401", source: "invented" }],
    }),
  );
  const { document } = lotRun(folder, "other", "--job", "job.json", "--report", "other.html");
  expect(document.identity).toBe("differs");
  expect(document.suspects).toEqual([]);
  expect(document.says).toContain("which the maker can confirm");
  const [against] = document.exemplars.flatMap((exemplar) => exemplar.against);
  expect(against).toMatchObject({ verdict: "differs", otherCode: true });
  expect(against?.says).toContain("ask the maker");
  const report = readFileSync(join(folder, "other.html"), "utf8");
  for (const text of ["2401", "2433", "ask the maker"]) expect(report).toContain(text);
});

/** Two revisions, each with its lot code. Success: two consistent groups, no suspect, a conditional result, a letter. */
it("5: is conditional, with questions to send, where two revisions follow their codes", () => {
  put(
    "codes.csv",
    table((variant) => (variant === "A" ? "2401" : "2433")),
  );
  const { status, document } = lotRun(folder, "lot", "--codes", "codes.csv", "--report", "lot.html");
  expect(document.groups.map(({ size }) => size)).toEqual([10, 8]);
  expect(document.suspects).toEqual([]);
  expect(document.lotSuspect.value).toBe(false);
  expect(document.lotSuspect.because).toContain("conditional on the maker's answer");
  expect(document.questions.join(" ")).toContain("2401 and 2433");
  expect(readFileSync(join(folder, "lot.html"), "utf8")).toContain("Questions for the maker");
  expect(status).toBe(1);
});

/**
 * Two frames under one code. Success: the lot is suspect; the inspection stops, the order to go on and who was told are
 * on record, and 100 % is offered.
 */
it("6: stops at a lot of two frames under one code, and records who ordered to go on", () => {
  put(
    "one.csv",
    table(() => "2401"),
  );
  const stopped = lotRun(folder, "lot", "--codes", "one.csv", "--quantity", "100", "--stop-at-first-suspect");
  expect(stopped.status).toBe(1);
  expect(stopped.document.lotSuspect.value).toBe(true);
  expect(stopped.document.lotSuspect.because).toContain("two constructions under one code are suspect");
  expect(stopped.document.steps.map(({ step }) => step)).toEqual(["stopped"]);
  expect(stopped.document.notInspected).toHaveLength(1);
  expect(stopped.document.next.join(" ")).toContain("Tell the requester");
  put("stopped.json", JSON.stringify(stopped.document));
  const told = {
    step: "told",
    at: "2099-01-02T03:04:05Z",
    by: "N. N.",
    because: "first suspect, by telephone",
  };
  put("told.json", JSON.stringify({ steps: [told] }));
  const { document } = lotRun(
    folder,
    ...["lot", "--codes", "one.csv", "--quantity", "100", "--job", "told.json"],
    ...["--resume", "stopped.json", "--by", "N. N.", "--because", "the requester orders the whole sample"],
  );
  expect(document.steps.map(({ step }) => step).sort()).toEqual(["resumed", "stopped", "told"]);
  expect(document.notInspected).toEqual([]);
  expect(document.next.join(" ")).toContain("Offer to inspect 100 % of the lot");
});
