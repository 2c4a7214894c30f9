import type { Feature, PointMm } from "./feature.ts";
import { sheet } from "./feature.ts";
import type { LayoutSpec } from "./lot-spec.ts";
import { box, chamferedRectangle, disc } from "./outline.ts";

/** A picture to be taken: its size, where parts go, and the carrier in the beam. */
export interface PictureLayout {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Part centres, mm from the outer corner of the first pixel. */
  readonly slotsMm: readonly PointMm[];
  /** Turn that the carrier gives every part. */
  readonly turnDeg: number;
  /** Carrier, in picture mm. */
  readonly carrier: readonly Feature[];
  readonly file: (index: number) => string;
}

function numbered(stem: string, digits: number): (index: number) => string {
  return (index) => `${stem}_${String(index).padStart(digits, "0")}.tif`;
}

function trayWalls(
  x0: number,
  y0: number,
  columns: number,
  rows: number,
  pitchX: number,
  pitchY: number,
): Feature[] {
  const features: Feature[] = [];
  const [xEnd, yEnd] = [x0 + columns * pitchX, y0 + rows * pitchY];
  // Walls with sloping sides: three layers.
  for (let k = 0; k < 3; k++) {
    const half = 0.14 + 0.07 * k;
    for (let c = 0; c <= columns; c++) {
      const x = x0 + c * pitchX;
      features.push(sheet("polystyrene", 0.8, 0, [box(x - half, y0 - half, x + half, yEnd + half)]));
    }
    for (let r = 0; r <= rows; r++) {
      const y = y0 + r * pitchY;
      features.push(sheet("polystyrene", 0.8, 0, [box(x0 - half, y - half, xEnd + half, y + half)]));
    }
  }
  return features;
}

function tapeCarrier(
  widthMm: number,
  heightMm: number,
  slots: readonly PointMm[],
  pocket: readonly [number, number],
  pitchMm: number,
): Feature[] {
  const edgeY = 1.75;
  const holes = [];
  for (let x = slots[0][0] - pitchMm / 2 - 8; x < widthMm + 4; x += 4) holes.push(disc([x, edgeY], 0.75));
  const features: Feature[] = [sheet("polystyrene", 0.3, 0, [box(-1, -1, widthMm + 1, heightMm + 1)], holes)];
  for (let i = -1; i <= slots.length; i++) {
    const centre: PointMm = [slots[0][0] + i * pitchMm, slots[0][1]];
    for (let k = 0; k < 3; k++) {
      const w = 0.06 + 0.05 * k;
      const outer = chamferedRectangle(centre, pocket[0] + 2 * w, pocket[1] + 2 * w, 0.25);
      const inner = chamferedRectangle(centre, pocket[0], pocket[1], 0.2);
      features.push(sheet("polystyrene", 0.6, 0, [outer], [inner]));
    }
  }
  return features;
}

/**
 * Where the parts of one picture lie.
 *
 * @param overallMm outer size of a part with its leads, unturned
 */
export function layOut(
  layout: LayoutSpec,
  overallMm: readonly [number, number],
  mmPerPx: number,
): PictureLayout {
  if (layout.kind === "single") {
    return {
      widthPx: layout.widthPx,
      heightPx: layout.heightPx,
      slotsMm: [[(layout.widthPx * mmPerPx) / 2, (layout.heightPx * mmPerPx) / 2]],
      turnDeg: 0,
      carrier: [],
      file: numbered("part", 3),
    };
  }
  if (layout.kind === "tray") {
    const pitchX = overallMm[0] + layout.gapMm;
    const pitchY = overallMm[1] + layout.gapMm;
    const widthMm = layout.columns * pitchX + 2 * layout.marginMm;
    const heightMm = layout.rows * pitchY + 2 * layout.marginMm;
    const x0 = layout.marginMm - layout.offsetMm[0];
    const y0 = layout.marginMm - layout.offsetMm[1];
    const slotsMm: PointMm[] = [];
    for (let r = 0; r < layout.rows; r++) {
      for (let c = 0; c < layout.columns; c++)
        slotsMm.push([x0 + (c + 0.5) * pitchX, y0 + (r + 0.5) * pitchY]);
    }
    return {
      widthPx: Math.round(widthMm / mmPerPx),
      heightPx: Math.round(heightMm / mmPerPx),
      slotsMm,
      turnDeg: 0,
      carrier: layout.walls ? trayWalls(x0, y0, layout.columns, layout.rows, pitchX, pitchY) : [],
      file: numbered("tray", 2),
    };
  }
  const odd = layout.quarters % 2 !== 0;
  const pocket: [number, number] = [
    (odd ? overallMm[1] : overallMm[0]) + 0.5,
    (odd ? overallMm[0] : overallMm[1]) + 0.5,
  ];
  const pitchMm = 4 * Math.ceil((pocket[0] + 0.3) / 4);
  const widthMm = layout.columns * pitchMm + 1.6;
  const heightMm = pocket[1] + 4.6;
  const slotsMm = Array.from({ length: layout.columns }, (_, i): PointMm => {
    return [0.8 + (i + 0.5) * pitchMm, 3.4 + pocket[1] / 2];
  });
  return {
    widthPx: Math.round(widthMm / mmPerPx),
    heightPx: Math.round(heightMm / mmPerPx),
    slotsMm,
    turnDeg: 90 * layout.quarters,
    carrier: tapeCarrier(widthMm, heightMm, slotsMm, pocket, pitchMm),
    file: numbered("tape", 2),
  };
}
