import { execFileSync } from "node:child_process";
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { deflateSync } from "node:zlib";
import { lotFiles } from "../src/simulate/lot-files.ts";
import { constructionOf } from "../src/simulate/packages/families.ts";
import { lotLike } from "../src/simulate/usual-lot.ts";
import type { Agreement, BenchCase, OwnProcessResult } from "./bench-case.ts";
import type { LotExtent, LotJobResult } from "./lot-job.ts";
import { truthParts } from "./truth-parts.ts";

const SEED = 11;
const mostApartPx = 0.5;

const singles = lotLike(
  "bench",
  "Invented: 40 SO-8, one a picture; 3 hold another die on another lead frame",
  {
    constructions: [
      { construction: constructionOf("usual", "SO-8", "A"), count: 37 },
      { construction: constructionOf("other", "SO-8", "B", { dieMm: [1.9, 1.5, 0.28] }), count: 3 },
    ],
  },
  { turnsDeg: [0, 180] },
);

/** The simulated lot's files, drawn again (10 s) only when its first picture is not what would be drawn now. */
function simulatedFiles(folder: string): string {
  mkdirSync(folder, { recursive: true });
  const first = lotFiles(singles, SEED, deflateSync).next().value;
  if (!first) throw new Error("bench: the simulated lot is empty");
  const drawn = path.join(folder, first.name);
  const complete = existsSync(path.join(folder, "truth.json")) && existsSync(drawn);
  if (complete && readFileSync(drawn).equals(first.bytes)) return folder;
  for (const { name, bytes } of lotFiles(singles, SEED, deflateSync)) {
    writeFileSync(path.join(folder, name), bytes);
  }
  return folder;
}

/** Both sides agree when they find the same parts in the same places and the same of the truly odd ones. */
function agree(
  folder: string,
  ours: LotJobResult,
  theirs: Omit<LotJobResult, keyof OwnProcessResult>,
): Agreement {
  const real = truthParts(readFileSync(path.join(folder, "truth.json"), "utf8"));
  const at = (parts: LotJobResult["parts"], part: (typeof real)[number]) =>
    parts
      .filter((p) => path.basename(p.picture) === part.file)
      .map((p) => ({
        ...p,
        px: Math.hypot(p.centrePx[0] - part.centrePx[0], p.centrePx[1] - part.centrePx[1]),
      }))
      .sort((p, q) => p.px - q.px)[0];
  const score = (parts: LotJobResult["parts"]) => {
    const odd = real.map((part) => at(parts, part)?.odd ?? false);
    const right = odd.filter((o, i) => o && real[i].suspect).length;
    return { right, wrong: odd.filter((o, i) => o && !real[i].suspect).length };
  };
  const apart = Math.max(
    ...real.map((part) => {
      const [p, q] = [at(ours.parts, part), at(theirs.parts, part)];
      return p && q ? Math.hypot(p.centrePx[0] - q.centrePx[0], p.centrePx[1] - q.centrePx[1]) : Infinity;
    }),
  );
  const suspects = real.filter((part) => part.suspect).length;
  const judged = ours.parts.some((p) => p.odd !== null);
  const calls = [ours, theirs].map(({ parts }) => score(parts));
  const words = calls.map((c) => `${c.right} of ${suspects} and ${c.wrong} false`);
  const counted = ours.parts.length === real.length && theirs.parts.length === real.length;
  return {
    agrees: counted && apart <= mostApartPx && (!judged || calls[0].right === calls[1].right),
    says: `parts ${ours.parts.length} and ${theirs.parts.length} of ${real.length}, centres up to ${apart.toFixed(2)} px apart${judged ? `; odd parts ours ${words[0]}, reference ${words[1]}` : ""}`,
  };
}

/** A lot as two cases beside one reference: the same steps, and the whole job. */
function lot(
  name: string,
  job: string,
  folderOf: (root: string, input: string) => string,
  shared?: string,
): BenchCase[] {
  const bench = (extent: LotExtent, note: string): BenchCase => {
    let folder = "";
    return {
      name: `${name}, to the ${extent}`,
      reference: name,
      sizes: ["1700x1272"],
      ownProcess: true,
      missing: (root) =>
        shared === undefined || existsSync(path.resolve(root, shared, "truth.json"))
          ? null
          : `${shared} is not here`,
      setup: (input) => {
        folder = folderOf(input.root, path.join(input.folder, job));
        const files = readdirSync(folder)
          .filter((file) => file.endsWith(".tif"))
          .sort()
          .map((file) => path.join(folder, file));
        writeFileSync(path.join(input.folder, `${job}.json`), JSON.stringify({ files }));
        // The lot's worker threads are the product's own, bundled.
        execFileSync(process.execPath, ["scripts/build.mjs"], { cwd: input.root });
        return () => {
          const text = execFileSync(process.execPath, [process.argv[1], "--lot-job", extent, ...files], {
            encoding: "utf8",
            maxBuffer: 1 << 26,
            stdio: ["ignore", "pipe", "inherit"],
          });
          return JSON.parse(text) as LotJobResult;
        };
      },
      agree: (ours, theirs) => agree(folder, ours as LotJobResult, theirs as LotJobResult),
      note,
    };
  };
  return [
    bench(
      "differences",
      "The same steps on both sides: read, open beam, find, register all over turns and mirror images, tone, median, difference. The reference takes polarity, clipping and grey step as given and fits gain and offset where ours fits a curve; ours does not count pixels here, the reference does.",
    ),
    bench(
      "findings",
      "The reference does less: it stops at the differences and calls a part odd by their count. Ours also measures die, pad, leads and wires of every part, forms groups, settles poses that fit equally well, may change the reference part, and says what differs and where.",
    ),
  ];
}

/** A lot of 40 from its files, each side in a process of its own, from cold. */
export const lots: BenchCase[] = [
  ...lot("lot of 40", "lot", (_, folder) => simulatedFiles(folder)),
  ...lot(
    "trays of 40",
    "lot-trays",
    (root) => path.resolve(root, "../shared/simulated/A2"),
    "../shared/simulated/A2",
  ),
];
