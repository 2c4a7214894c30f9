/**
 * Cuts upright crops of equal size around every instance of a repeated part out of the board radiograph in the
 * shared pictures, and optionally one part of another kind at the same size: a lot of real pictures whose truth
 * comes from the board's design file.
 *
 * node scripts/run.mjs scripts/cut-board-crops.ts --into DIR [--kind NAME] [--odd NAME] [--board DIR]
 * node scripts/run.mjs scripts/cut-board-crops.ts --list
 *
 * Without --kind every kind is cut, each into a folder of its own below DIR. A crop holds the samples of the
 * picture as they are (whole-pixel places, nothing resampled); a part placed at a quarter turn stays as it lies,
 * so its crop is the same size lying the other way.
 *
 * Left out: parts that the list `notFitted` names (the design file says where pads are, not what is soldered),
 * and parts that do not lie free: the boxes of other fitted parts of either side together cover more than 2 % of
 * the crop. A part's box is the outline of its pads, or the larger one in `bodiesBeyondPadsPx` where its body
 * reaches beyond them. What else is in a crop (traces, vias, planes, the board's edge) stays.
 */
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { parseArgs } from "node:util";
import { codecs } from "../src/cli/codecs.ts";
import { encodePng } from "../src/cli/encode-png.ts";
import { readPicture } from "../src/formats/read-picture.ts";
import type { Picture } from "../src/radiograph/picture.ts";

/** Left, top, right, bottom edge, px of the picture. */
type Edges = readonly [left: number, top: number, right: number, bottom: number];

interface Pad {
  readonly ref: string;
  readonly name: string;
  readonly xPx: number;
  readonly yPx: number;
  readonly net: string;
  /** Along x and along y as the pad lies on the board. */
  readonly sizePx: readonly [number, number];
}

interface Component {
  readonly ref: string;
  readonly footprint: string;
  readonly value: string;
  readonly pads: readonly Pad[];
  readonly edges: Edges;
}

/** A thing to cut out, and the component it belongs to. */
interface Instance {
  readonly ref: string;
  readonly edges: Edges;
}

type Select = (components: readonly Component[]) => Instance[];

const pictureName = "board_xray_positive.png";
/** Margin around the part on every side, as a share of the side of a square of its area. */
const marginShare = 0.25;
const mostCovered = 0.02;

/** Pads without a part on them, seen by eye in the picture. */
const notFitted = new Set(["U9"]);

/** Bodies that reach beyond their pads, read off the picture by eye. */
const bodiesBeyondPadsPx: Readonly<Record<string, Edges>> = {
  AUDIO1: [706, 24, 812, 246],
  BAT1: [180, 458, 405, 616],
  GPDI1: [418, 20, 612, 148],
  SD1: [776, 420, 942, 614],
  US1: [848, 22, 946, 94],
  US2: [180, 22, 276, 94],
  Y2: [122, 450, 212, 506],
};

/** One body size can hold different parts: the value tells them apart where the picture does too. */
const kinds: Readonly<Record<string, Select>> = {
  "resistor-0603": parts("R_0603"),
  "capacitor-0603": parts("C_0603", (value) => value === "220nF"),
  "capacitor-0603-other": parts("C_0603", (value) => value !== "220nF"),
  "capacitor-0805": parts("C_0805"),
  "led-0805": parts("LED_0805"),
  "diode-sod323": parts("D_SOD-323", (value) => !value.startsWith("BAT")),
  "diode-sod323-other": parts("D_SOD-323", (value) => value.startsWith("BAT")),
  button: parts("SW_SPST"),
  "mounting-hole": parts("MountingHole"),
  // The two 2 x 20 headers are not fitted: bare plated holes. GN and GP are the signals of the inner and of the
  // outer row, beside which the board ends; holes of supply nets are joined to copper areas.
  "header-hole-inner": headerHoles(/^GN\d/),
  "header-hole-outer": headerHoles(/^GP\d/),
  "header-hole-ground": headerHoles(/^GND$/),
  "ball-3x3": ballBlocks,
};

/** Whole parts of a footprint. */
function parts(footprint: string, wanted: (value: string) => boolean = () => true): Select {
  return (components) =>
    components.filter((each) => each.footprint.includes(footprint) && wanted(each.value));
}

function headerHoles(net: RegExp): Select {
  return (components) =>
    components
      .filter((each) => each.footprint.includes("Angled_2x20"))
      .flatMap((each) => each.pads.filter((pad) => net.test(pad.net)))
      .map((pad) => ({ ref: pad.ref, edges: around(pad.xPx, pad.yPx, pad.sizePx) }));
}

/**
 * Blocks of three by three balls of the ball grid array that share no ball with each other and have a ball on
 * every side, so that the crop's margin holds parts of balls all around.
 */
function ballBlocks(components: readonly Component[]): Instance[] {
  // The array's pads named X are corner marks, not balls.
  const balls = components
    .filter((each) => each.footprint.includes("BGA"))
    .flatMap((each) => each.pads.filter((pad) => pad.name !== "X"));
  const [left, top] = [Math.min(...balls.map((b) => b.xPx)), Math.min(...balls.map((b) => b.yPx))];
  const pitchPx = (Math.max(...balls.map((b) => b.xPx)) - left) / 19;
  const place = (column: number, row: number): Pad | undefined =>
    balls.find(
      (b) => Math.round((b.xPx - left) / pitchPx) === column && Math.round((b.yPx - top) / pitchPx) === row,
    );
  const blocks: Instance[] = [];
  const around5 = [-2, -1, 0, 1, 2];
  for (let row = 2; row < 18; row += 3)
    for (let column = 2; column < 18; column += 3) {
      const middle = place(column, row);
      if (middle === undefined) continue;
      if (around5.some((y) => around5.some((x) => place(column + x, row + y) === undefined))) continue;
      const sidePx = 2 * pitchPx + middle.sizePx[0];
      blocks.push({ ref: middle.ref, edges: around(middle.xPx, middle.yPx, [sidePx, sidePx]) });
    }
  return blocks;
}

function around(xPx: number, yPx: number, [width, height]: readonly [number, number]): Edges {
  return [xPx - width / 2, yPx - height / 2, xPx + width / 2, yPx + height / 2];
}

/** Rows of a comma-separated table without quotes, for our picture only. */
function rowsOf(file: string): Record<string, string>[] {
  const [head, ...lines] = readFileSync(file, "utf8").trim().split(/\r?\n/);
  const names = head.split(",");
  return lines
    .map((line) => Object.fromEntries(line.split(",").map((cell, i) => [names[i], cell])))
    .filter((row) => row.image === pictureName);
}

function readComponents(board: string): Component[] {
  const meta = JSON.parse(readFileSync(path.join(board, "gt_meta.json"), "utf8"));
  const [pxPerMmX, pxPerMmY]: [number, number] = meta[pictureName].px_per_mm;
  const padRows = rowsOf(path.join(board, "gt_pads_vias.csv"));
  return rowsOf(path.join(board, "gt_components.csv")).flatMap((row) => {
    const turned = Math.round(Number(row.rot_deg) / 90) % 2 === 1;
    const own = padRows
      .filter((pad) => pad.ref === row.ref)
      .map((pad): Pad => {
        // Pad sizes are those of the footprint before it was turned.
        const [wide, high] = turned ? [pad.h_mm, pad.w_mm] : [pad.w_mm, pad.h_mm];
        return {
          ref: row.ref,
          name: pad.pad,
          xPx: Number(pad.x_px),
          yPx: Number(pad.y_px),
          net: pad.net,
          sizePx: [Number(wide) * pxPerMmX, Number(high) * pxPerMmY],
        };
      });
    if (own.length === 0) return [];
    const boxes = own.map((pad) => around(pad.xPx, pad.yPx, pad.sizePx));
    const edges = bodiesBeyondPadsPx[row.ref] ?? [
      Math.min(...boxes.map((b) => b[0])),
      Math.min(...boxes.map((b) => b[1])),
      Math.max(...boxes.map((b) => b[2])),
      Math.max(...boxes.map((b) => b[3])),
    ];
    return [{ ref: row.ref, footprint: row.footprint, value: row.value, pads: own, edges }];
  });
}

/** Share of a box that the boxes of other fitted parts cover together, by whole pixels. */
function coveredShare(edges: Edges, ref: string, components: readonly Component[]): number {
  const others = components.filter((each) => each.ref !== ref && !notFitted.has(each.ref));
  let [inside, covered] = [0, 0];
  for (let y = Math.ceil(edges[1]); y <= edges[3]; y++)
    for (let x = Math.ceil(edges[0]); x <= edges[2]; x++) {
      inside++;
      if (others.some(({ edges: o }) => x >= o[0] && x <= o[2] && y >= o[1] && y <= o[3])) covered++;
    }
  return covered / inside;
}

/** Crop edges of one size for all instances of a kind: long and short side by their medians, lying as the part lies. */
function cropSizePx(instances: readonly Instance[]): readonly [long: number, short: number] {
  const middle = (values: number[]): number => values.sort((a, b) => a - b)[values.length >> 1];
  const sides = instances.map(({ edges: [l, t, r, b] }) => [r - l, b - t]);
  const long = middle(sides.map((s) => Math.max(...s)));
  const short = middle(sides.map((s) => Math.min(...s)));
  const margin = marginShare * Math.sqrt(long * short);
  return [Math.round(long + 2 * margin), Math.round(short + 2 * margin)];
}

function cropEdges({ edges }: Instance, [long, short]: readonly [number, number]): Edges {
  const [l, t, r, b] = edges;
  const [width, height] = b - t > r - l ? [short, long] : [long, short];
  const left = Math.round((l + r) / 2 - (width - 1) / 2);
  const top = Math.round((t + b) / 2 - (height - 1) / 2);
  return [left, top, left + width - 1, top + height - 1];
}

/** The instances of a kind that stand free enough, with the crop around each. */
function freeInstances(
  kind: string,
  board: { readonly picture: Picture; readonly components: readonly Component[] },
  sizePx?: readonly [number, number],
): { readonly all: number; readonly crops: readonly Edges[]; readonly sizePx: readonly [number, number] } {
  const select = kinds[kind];
  if (select === undefined)
    throw new Error(`No kind "${kind}"; expected one of ${Object.keys(kinds).join(", ")}.`);
  const { picture, components } = board;
  const instances = select(components).filter(({ ref }) => !notFitted.has(ref));
  const size = sizePx ?? cropSizePx(instances);
  const crops = instances.flatMap((instance) => {
    const crop = cropEdges(instance, size);
    const inside = crop[0] >= 0 && crop[1] >= 0 && crop[2] < picture.widthPx && crop[3] < picture.heightPx;
    const free = coveredShare(crop, instance.ref, components) <= mostCovered;
    return inside && free ? [crop] : [];
  });
  return { all: instances.length, crops, sizePx: size };
}

function writeCrop(picture: Picture, [left, top, right, bottom]: Edges, file: string): void {
  const [width, height] = [right - left + 1, bottom - top + 1];
  const data = new Uint8Array(width * height);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++)
      data[y * width + x] = picture.samples[((top + y) * picture.widthPx + left + x) * picture.channels];
  writeFileSync(file, encodePng({ width, height, data, channels: 1 }));
}

const { values } = parseArgs({
  options: {
    into: { type: "string" },
    kind: { type: "string" },
    odd: { type: "string" },
    board: { type: "string", default: path.resolve("..", "shared/pictures/electronics/fpga_board") },
    list: { type: "boolean", default: false },
  },
});
if (values.list) console.log(Object.keys(kinds).join("\n"));
else if (values.into === undefined) {
  console.error("usage: --into DIR [--kind NAME] [--odd NAME] [--board DIR], or --list");
  process.exitCode = 2;
} else {
  const bytes = readFileSync(path.join(values.board, pictureName));
  const picture = await readPicture(bytes, { codecs });
  if (picture.bits !== 8 || picture.channels !== 1)
    throw new Error(
      `${pictureName} has ${picture.channels} channels of ${picture.bits} bits; expected 1 of 8.`,
    );
  const board = { picture, components: readComponents(values.board) };
  for (const kind of values.kind === undefined ? Object.keys(kinds) : [values.kind]) {
    const into = values.kind === undefined ? path.join(values.into, kind) : values.into;
    mkdirSync(into, { recursive: true });
    const { all, crops, sizePx } = freeInstances(kind, board);
    crops.forEach((crop, i) => {
      writeCrop(picture, crop, path.join(into, `${kind}-${String(i + 1).padStart(3, "0")}.png`));
    });
    if (values.odd !== undefined && values.odd !== kind) {
      const odd = freeInstances(values.odd, board, sizePx).crops[0];
      if (odd === undefined) throw new Error(`No "${values.odd}" stands free in a crop of ${sizePx} px.`);
      writeCrop(picture, odd, path.join(into, `${values.odd}-odd.png`));
    }
    console.log(`${kind}: ${crops.length} of ${all} cut, ${sizePx[0]} x ${sizePx[1]} px`);
  }
}
