import { readFile } from "node:fs/promises";
import path from "node:path";
import { describe, expect, it } from "vitest";
import { LotSpecError } from "./errors.ts";
import { lotFiles } from "./lot-files.ts";
import { constructionOf, packageFamilies } from "./packages/families.ts";
import { planLot } from "./plan-lot.ts";
import { lotPresets } from "./presets.ts";
import { renderPicture } from "./render-picture.ts";
import { simulateLot } from "./simulate-lot.ts";
import { studyLots } from "./study-lots.ts";
import { faultPackages } from "./study-packages.ts";
import { lotTruth } from "./truth.ts";
import { lotLike } from "./usual-lot.ts";

const small = { layout: { kind: "single", widthPx: 250, heightPx: 250 }, mmPerPx: 0.027 } as const;
const so8 = constructionOf("g0", "SO-8", "A");

function inside(
  [x, y]: readonly [number, number],
  corners: readonly (readonly [number, number])[],
  slack: number,
): boolean {
  return corners.every(([x0, y0], i) => {
    const [x1, y1] = corners[(i + 1) % corners.length];
    const length = Math.hypot(x1 - x0, y1 - y0);
    return (
      Math.abs(((x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)) / length) < slack || sideOf(corners, [x, y], i)
    );
  });
}

function sideOf(
  corners: readonly (readonly [number, number])[],
  [x, y]: readonly [number, number],
  i: number,
): boolean {
  const cross = (k: number, px: number, py: number) => {
    const [x0, y0] = corners[k];
    const [x1, y1] = corners[(k + 1) % corners.length];
    return (x1 - x0) * (py - y0) - (y1 - y0) * (px - x0);
  };
  const [cx, cy] = [0, 1].map((a) => corners.reduce((s, c) => s + c[a], 0) / corners.length);
  return cross(i, x, y) * cross(i, cx, cy) > 0;
}

describe("simulateLot", () => {
  it("gives the same samples and truth for the same specification and seed, others for another seed", () => {
    const lot = lotLike("same", "test", { ...small, constructions: [{ construction: so8, count: 2 }] });
    const one = simulateLot(lot, 4);
    const two = simulateLot(lot, 4);
    for (let i = 0; i < 2; i++)
      expect(one.pictures[i].samples.every((v, k) => v === two.pictures[i].samples[k])).toBe(true);
    expect(one.truth).toEqual(two.truth);
    const other = simulateLot(lot, 5).pictures[0].samples;
    expect(other.every((v, k) => v === one.pictures[0].samples[k])).toBe(false);
  });

  it("changes nothing but the fault when a part is given one", () => {
    const base = { ...small, constructions: [{ construction: so8, count: 3 }] };
    const plain = planLot(lotLike("fault", "test", base), 2);
    const faulty = planLot(
      lotLike("fault", "test", { ...base, faults: [{ fault: { kind: "wire-absent", pin: 3 }, count: 1 }] }),
      2,
    );
    const hit = faulty.parts.findIndex((p) => p.built.faults.length > 0);
    faulty.parts.forEach((part, i) => {
      if (i !== hit) expect(part).toEqual(plain.parts[i]);
    });
    expect(faulty.parts[hit].pose).toEqual(plain.parts[hit].pose);
    expect(faulty.parts[hit].built.dieMm).toEqual(plain.parts[hit].built.dieMm);
    const a = renderPicture(plain, hit).samples;
    const b = renderPicture(faulty, hit).samples;
    const truth = lotTruth(faulty);
    const spot = truth.images[hit].parts[0].faults[0];
    expect(truth.expected.suspect_parts).toEqual([faulty.parts[hit].id]);
    // Where the wire was there is more light; the mean difference elsewhere is nothing.
    let brighter = 0;
    let far = 0;
    const [cx, cy] = spot.center_px ?? [Number.NaN, Number.NaN];
    for (let i = 0; i < a.length; i++) {
      const d = b[i] - a[i];
      if (Math.hypot((i % 250) - cx, Math.floor(i / 250) - cy) < spot.radius_px + 3) brighter += d;
      else far += Math.abs(d);
    }
    expect(brighter).toBeGreaterThan(500);
    expect(far / a.length).toBeLessThan(0.3);
  });

  it("builds every family and shape with die on pad and wires on die", () => {
    for (const [family, { variants }] of Object.entries(packageFamilies)) {
      for (const variant of Object.keys(variants)) {
        const construction = constructionOf("g0", family as keyof typeof packageFamilies, variant);
        const lot = lotLike("families", "test", { ...small, constructions: [{ construction, count: 1 }] });
        const part = lotTruth(planLot(lot, 1)).images[0].parts[0];
        const name = `${family} ${variant}`;
        expect(part.body_corners_px, name).toHaveLength(4);
        for (const corner of part.die.corners_px ?? []) {
          expect(inside(corner, part.body_corners_px, 0.01), `${name}: die in body`).toBe(true);
          if (part.paddle_corners_px !== null && family !== "SOT-23-3") {
            expect(inside(corner, part.paddle_corners_px, 6), `${name}: die on pad`).toBe(true);
          }
        }
        for (const wire of part.wires) {
          expect(inside(wire.start_px, part.die.corners_px ?? [], 0.5), `${name}: ball on die`).toBe(true);
          expect(inside(wire.end_px, part.body_corners_px, 0.01), `${name}: stitch in body`).toBe(true);
        }
      }
    }
  });

  it("plans every preset: whole parts, expected suspects, names of files", () => {
    const suspects: Record<string, number> = {
      "other-die-8-percent": 3,
      "other-die-minus-8-percent": 2,
      "other-frame-few": 3,
      "other-frame-material-few": 3,
      "die-absent-few": 3,
      "die-absent-tape": 2,
      "wire-faults": 3,
      "odd-ones": 4,
      "other-chips-few": 3,
    };
    const odd = new Map(faultPackages.map((own) => [own.key, own.odd]));
    const nothingOdd = /^(half|mixed|height|mirrored|tilted|noisy|three)/;
    for (const { kind, package: key, spec } of studyLots)
      suspects[spec.name] = nothingOdd.test(kind) ? 0 : (odd.get(key) ?? Number.NaN);
    for (const [name, spec] of Object.entries(lotPresets)) {
      const truth = lotTruth(planLot(spec, 1));
      expect(truth.expected.suspect_parts.length, name).toBe(suspects[name] ?? 0);
      expect(truth.expected.cut_parts.length, name).toBe(name === "cut-by-edge" ? 18 : 0);
      expect(new Set(truth.images.map((i) => i.file)).size, name).toBe(truth.images.length);
    }
    expect(lotTruth(planLot(lotPresets["half-half"], 1)).expected.number_of_constructions).toBe(2);
    expect(lotTruth(planLot(lotPresets["height-3-percent"], 1)).expected.odd_placement_parts).toHaveLength(4);
  });

  it("tilts the parts that are to be tilted by 2 to 5 degrees, and calls none of them odd", () => {
    const { parts } = planLot(lotPresets["so8-tilted"], 1);
    const tilted = parts.filter((p) => p.built.faults.length > 0);
    expect(tilted).toHaveLength(2);
    for (const { pose } of tilted) {
      // Usual tilt of 0.5 degrees (standard deviation) about each axis comes on top.
      const size = Math.hypot(...pose.tiltDeg);
      expect(size).toBeGreaterThan(1);
      expect(size).toBeLessThan(7);
    }
  });

  it("puts a second die where one is stacked: what lies under it is denser by its silicon", () => {
    const stackedMm = [1.2, 0.9, 0.2] as const;
    const quiet = { dust: 0, ...small, mmPerPx: 0.027 };
    const at = (construction: typeof so8) => {
      const lot = lotLike("stacked", "test", { ...quiet, constructions: [{ construction, count: 1 }] });
      const { pictures, truth } = simulateLot(lot, 3);
      const [x, y] = truth.images[0].parts[0].center_px.map(Math.round);
      let sum = 0;
      for (let j = -4; j <= 4; j++)
        for (let i = -4; i <= 4; i++) sum += pictures[0].samples[(y + j) * pictures[0].width + x + i];
      return { mean: sum / 81, truth };
    };
    const plain = at(so8);
    const stacked = at({ ...so8, stackedMm } as typeof so8);
    // 0.2 mm of silicon in place of mould, and the attach: some percent at 80 kV (die contrast 0.06 for 0.28 mm).
    const drop = 1 - stacked.mean / plain.mean;
    expect(drop).toBeGreaterThan(0.03);
    expect(drop).toBeLessThan(0.25);
    expect(stacked.truth.constructions.g0).toMatchObject({ stacked_die_mm: stackedMm });
    expect(plain.truth.constructions.g0).not.toHaveProperty("stacked_die_mm");
  });

  it("gives files: every picture the truth names, and the truth", () => {
    const lot = lotLike("files", "test", { ...small, constructions: [{ construction: so8, count: 2 }] });
    const files = [...lotFiles(lot, 1)];
    const truth = JSON.parse(new TextDecoder().decode(files.at(-1)?.bytes));
    expect(files.map((f) => f.name)).toEqual(["part_000.tif", "part_001.tif", "truth.json"]);
    expect(truth.images.map((i: { file: string }) => i.file)).toEqual(["part_000.tif", "part_001.tif"]);
    expect(truth).toEqual(JSON.parse(JSON.stringify(lotTruth(planLot(lot, 1)))));
  });

  it("splits exposures evenly and at random", () => {
    const plan = planLot(lotPresets["exposure-mix"], 3);
    expect(plan.pictures.filter((p) => p.exposure === 1)).toHaveLength(20);
    expect(plan.pictures.slice(0, 20).some((p) => p.exposure === 1)).toBe(true);
    expect(plan.pictures.slice(0, 20).some((p) => p.exposure === 0)).toBe(true);
  });

  it("refuses what cannot be made", () => {
    const fault = { fault: { kind: "empty-mould" }, count: 9 } as const;
    expect(() => planLot(lotLike("x", "", { constructions: [], faults: [] }), 1)).toThrow(LotSpecError);
    const few = lotLike("x", "", { constructions: [{ construction: so8, count: 4 }], faults: [fault] });
    expect(() => planLot(few, 1)).toThrow(LotSpecError);
    const odd = lotLike("x", "", { constructions: [{ construction: { ...so8, family: "XX" }, count: 1 }] });
    expect(() => planLot(odd, 1)).toThrow(/SO-8/);
  });

  it("imports nothing from the analysis it is used to test", async () => {
    const { readdir } = await import("node:fs/promises");
    const folder = import.meta.dirname;
    const files = (await readdir(folder, { recursive: true })).filter(
      (f) => f.endsWith(".ts") && !f.endsWith(".test.ts"),
    );
    expect(files.length).toBeGreaterThan(20);
    for (const file of files) {
      const text = await readFile(path.join(folder, file), "utf8");
      expect(text, file).not.toMatch(
        /from "\.\.\/(\.\.\/)?(align|inspections|radiograph|formats|judgement)\//,
      );
    }
  });
});
