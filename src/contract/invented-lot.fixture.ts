/**
 * An invented lot for tests of the document, the table and the report: 40 parts in seven pictures, drawn here.
 * One other construction (three parts), one absent wire, one foreign particle, one part that cannot be judged.
 */
import type { LotCall, LotMeasurements, LotPart, LotResult, LotWire } from "../inspections/lot/result.ts";
import type { JudgedLot } from "../judgement/judge-lot.ts";
import type { BoxPx, Image, PointPx } from "../numeric/image.ts";
import { createImage } from "../numeric/image.ts";
import { measured, notMeasured } from "../units/measured.ts";
import type { DocumentPicture } from "./document-schema.ts";

const widthPx = 380;
const heightPx = 320;
const mmPerPx = 0.0184;
const otherConstruction = new Set([8, 21, 33]);
const absentWire = 14;
const foreignParticle = 27;
const cutByEdge = 39;

/** Repeatable noise: a linear congruential generator, approximately normal by summing four draws. */
function noiseSource(seed: number): () => number {
  let state = seed >>> 0;
  const draw = (): number => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 4294967296;
  };
  return () => (draw() + draw() + draw() + draw() - 2) * 1.7;
}

function addBox(image: Image, [x, y, width, height]: BoxPx, attenuation: number): void {
  for (let row = Math.max(0, y); row < Math.min(image.height, y + height); row++)
    for (let column = Math.max(0, x); column < Math.min(image.width, x + width); column++)
      image.data[row * image.width + column] += attenuation;
}

function addWire(image: Image, [fromX, fromY]: PointPx, [toX, toY]: PointPx, attenuation: number): void {
  const steps = Math.ceil(Math.hypot(toX - fromX, toY - fromY));
  for (let step = 0; step <= steps; step++) {
    const bow = 6 * (step / steps) * (1 - step / steps);
    const x = Math.round(fromX + ((toX - fromX) * step) / steps);
    const y = Math.round(fromY + ((toY - fromY) * step) / steps - bow);
    addBox(image, [x, y, 2, 2], attenuation);
  }
}

/** Attenuation of one part: mould body, frame, die, wires; `noise` is the standard deviation. */
function drawPart(index: number, noise: number): Image {
  const image = createImage(widthPx, heightPx);
  const other = otherConstruction.has(index);
  addBox(image, [40, 50, 300, 220], 0.16);
  addBox(image, other ? [118, 96, 144, 128] : [110, 92, 160, 136], 0.62);
  addBox(image, other ? [150, 124, 80, 72] : [144, 118, 92, 84], 0.2);
  for (let lead = 0; lead < 8; lead++) {
    const y = 66 + lead * 25;
    const tip = other ? 22 : 28;
    addBox(image, [6, y, 34 + tip, 11], 0.62);
    addBox(image, [widthPx - 40 - tip, y, 34 + tip, 11], 0.62);
    const dieY = 126 + lead * 9;
    if (!(index === absentWire && lead === 5)) addWire(image, [40 + tip, y + 5], [152, dieY], 0.35);
    addWire(image, [widthPx - 40 - tip, y + 5], [226, dieY], 0.35);
  }
  if (index === foreignParticle) addBox(image, [296, 226, 9, 6], 1.1);
  const draw = noiseSource(7919 * (index + 1));
  for (let at = 0; at < image.data.length; at++) image.data[at] += noise * draw();
  return image;
}

/** Signed marks in multiples of the limit where a part differs from its group. */
function drawDifference(index: number): Image {
  const image = createImage(widthPx, heightPx);
  if (index === absentWire) addWire(image, [68, 196], [152, 171], -1.9);
  if (index === foreignParticle) addBox(image, [295, 225, 11, 8], 4.2);
  return image;
}

const seenAgain = {
  p: 0.0021,
  on: ["die width", "outline"],
  says: "Seen again in structures not used to find it (p = 0.0021, adjusted for 4 tested).",
};

function measurementsOf(index: number): LotMeasurements {
  const draw = noiseSource(104729 * (index + 3));
  const other = otherConstruction.has(index);
  const mm = (value: number, u: number) => measured(value + u * draw(), u, "mm");
  return {
    bodyLength: mm(300 * mmPerPx, 0.011),
    bodyWidth: mm(220 * mmPerPx, 0.009),
    padLength: mm((other ? 144 : 160) * mmPerPx, 0.008),
    padWidth: mm((other ? 128 : 136) * mmPerPx, 0.008),
    dieLength: mm((other ? 80 : 92) * mmPerPx, 0.0062),
    dieWidth: mm((other ? 72 : 84) * mmPerPx, 0.0061),
    dieOffsetX: mm(0.012, 0.005),
    dieOffsetY: mm(-0.02, 0.005),
    dieTurn: measured(0.4 + 0.2 * draw(), 0.21, "deg"),
    leads: measured(16, 0, "1"),
    leadPitch: mm(0.46, 0.0021),
    frameAttenuation: measured(0.62 + 0.004 * draw(), 0.006, "1"),
    dieAttenuation: measured(0.2 + 0.003 * draw(), 0.005, "1"),
    wiresSeen: index === absentWire ? measured(15, 0, "1") : measured(16, 0, "1"),
  };
}

function nothingMeasured(): LotMeasurements {
  const none = Object.keys(measurementsOf(0)).map((name) => [name, notMeasured("mm", "out-of-field")]);
  return Object.fromEntries(none) as LotMeasurements;
}

function absentWireOf(offsetX: number, offsetY: number): LotWire {
  return {
    lead: 6,
    state: "absent",
    fromPx: [offsetX + 68, offsetY + 196],
    toPx: [offsetX + 152, offsetY + 171],
    contrastToNoise: 21,
  };
}

function callsOf(index: number, offsetX: number, offsetY: number): LotCall[] {
  const at = ([x, y, width, height]: BoxPx): BoxPx => [x + offsetX, y + offsetY, width, height];
  if (index === absentWire)
    return [
      {
        kind: "wire-absent",
        boxPx: at([66, 162, 90, 40]),
        says: "The wire from lead 6 is not seen; its group shows one there.",
      },
    ];
  if (index === foreignParticle)
    return [
      {
        kind: "foreign",
        boxPx: at([291, 221, 19, 16]),
        says: "Dense matter 0.17 mm long lies beside lead 15; no other part shows any there.",
      },
    ];
  if (otherConstruction.has(index))
    return [
      {
        kind: "die",
        boxPx: at([144, 118, 92, 84]),
        says: "The die is 0.221 ± 0.014 mm shorter than in group A.",
      },
      {
        kind: "lead-frame",
        boxPx: at([110, 92, 160, 136]),
        says: "The pad is 0.294 ± 0.018 mm shorter than in group A.",
      },
    ];
  return [];
}

function inventPart(index: number): LotPart {
  const picture = `incoming/lot 0000-invented/tray_0${Math.floor(index / 6)}.tif`;
  const place = index % 6;
  const offsetX = (place % 3) * 420 + 31;
  const offsetY = Math.floor(place / 3) * 360 + 24;
  const calls = callsOf(index, offsetX, offsetY);
  const assessable = index !== cutByEdge;
  return {
    id: `${picture}#${place + 1}`,
    picture,
    cornersPx: [
      [offsetX + 40, offsetY + 50],
      [offsetX + 340, offsetY + 50],
      [offsetX + 340, offsetY + 270],
      [offsetX + 40, offsetY + 270],
    ],
    group: assessable ? (otherConstruction.has(index) ? "B" : "A") : null,
    suspect: calls.length > 0,
    assessable,
    because: assessable ? null : "cut by the edge of the picture",
    pose: { turn: index === 5 ? 180 : 0, mirrored: false, ambiguousWith: [] },
    relativeScale: 1 + (index % 5) * 0.0012,
    measurements: assessable ? measurementsOf(index) : nothingMeasured(),
    wires: index === absentWire ? [absentWireOf(offsetX, offsetY)] : [],
    leadEnds: [{ lead: 6, tipPx: [offsetX + 68, offsetY + 196], fusedToPad: false }],
    calls,
    oddness: assessable
      ? otherConstruction.has(index)
        ? 5.1 + index / 100
        : calls.length > 0
          ? 1.9 + index / 50
          : 0.3 + (index % 7) * 0.06
      : 0,
  };
}

/** The invented lot, with aligned pictures. */
export function inventLotResult(): JudgedLot & Pick<LotResult, "aligned"> {
  const parts = Array.from({ length: 40 }, (_, index) => inventPart(index));
  const judged = parts.map((part, index) => ({ part, index })).filter(({ part }) => part.assessable);
  const idsOf = (group: string) => parts.filter((part) => part.group === group).map(({ id }) => id);
  const apart = (sign: 1 | -1) => [
    { measurement: "padLength", by: measured(sign * 0.2944, 0.0088, "mm") },
    { measurement: "dieLength", by: measured(sign * 0.2208, 0.0071, "mm") },
  ];
  return {
    method: { id: "lot", version: "0.0.0-invented" },
    parts,
    groups: [
      {
        name: "A",
        size: 36,
        parts: idsOf("A"),
        againstExemplar: "no-exemplar",
        differsFrom: [{ group: "B", because: apart(1), heldOut: seenAgain }],
      },
      {
        name: "B",
        size: 3,
        parts: idsOf("B"),
        againstExemplar: "no-exemplar",
        differsFrom: [{ group: "A", because: apart(-1), heldOut: seenAgain }],
      },
    ],
    exemplars: [],
    bounds: [{ confidence: 0.95, atMost: 585, mayRemain: 580, share: 580 / 3000 }],
    questions: [],
    next: ["Offer to inspect 100 % of the lot by X-ray: 2961 of 3000 parts have not been judged."],
    suspects: parts.filter(({ suspect }) => suspect).map(({ id }) => id),
    lotSuspect: { value: true, because: "Two constructions lie inside one date code." },
    compared: [
      {
        characteristic: "bodyLength",
        assessable: true,
        because: "36 parts of group A against their median",
        smallestDetectable: measured(0.03, 0.004, "mm"),
      },
      {
        characteristic: "padLength",
        assessable: true,
        because: "36 parts of group A against their median",
        smallestDetectable: measured(0.024, 0.003, "mm"),
      },
      {
        characteristic: "dieLength",
        assessable: true,
        because: "outer edge of the die attach; 36 parts of group A against their median",
        smallestDetectable: measured(0.019, 0.0028, "mm"),
      },
      {
        characteristic: "wiresSeen",
        assessable: true,
        because: "16 expected paths; contrast-to-noise 8.2 along the weakest",
        smallestDetectable: measured(1, 0, "1"),
      },
      {
        characteristic: "die attach voids",
        assessable: false,
        because: "the die attach does not stand out from the pad in these pictures (contrast-to-noise 0.7)",
        smallestDetectable: notMeasured("percent", "not-visible"),
      },
    ],
    conclusion: "mixed",
    says: "Mixed: the sample holds two constructions, A (36 parts) and B (3 parts), separated by pad length and die length; 5 parts are suspect.",
    identity: "no-exemplar",
    assurance: "No assurance is stated for the parts not looked at: the sample is mixed.",
    aligned: {
      width: widthPx,
      height: heightPx,
      bodyBoxPx: [40, 50, 300, 220],
      parts: judged.map(({ part, index }) => ({
        id: part.id,
        attenuation: drawPart(index, 0.045),
        toPicture: { a: 1, b: 0, c: part.cornersPx[0][0] - 40, d: 0, e: 1, f: part.cornersPx[0][1] - 50 },
        difference: drawDifference(index),
      })),
      averages: [
        { group: "A", attenuation: drawPart(0, 0.008) },
        { group: "B", attenuation: drawPart(8, 0.026) },
      ],
      exemplars: [],
    },
  };
}

/** The pictures of the invented lot, as a document lists them. */
export function inventLotPictures(): DocumentPicture[] {
  return Array.from({ length: 7 }, (_, index) => ({
    picture: `incoming/lot 0000-invented/tray_0${index}.tif`,
    sha256: `${index}`.repeat(8).padEnd(64, "a1b2c3d4"),
    width: 1300,
    height: 760,
    polarity: "dense-is-dark" as const,
    polarityBecause: "background" as const,
    scale: { umPerPx: 18.4, U: 0.06, origin: "reference-length" as const },
    lossy: false,
    notes: index === 2 ? ["page 1 of 2 was read"] : [],
  }));
}
