import type { BuildPackage } from "../construction.ts";
import type { Feature } from "../feature.ts";
import { sheet } from "../feature.ts";
import { box, rectangle } from "../outline.ts";

/** A two-terminal chip. Lengths mm. */
export interface ChipShape {
  readonly kind: "capacitor" | "resistor";
  /** Length of the metal caps along the chip. */
  readonly capLength: number;
  /** Metal on top and bottom of the caps together; at the end faces it is seen edge on. */
  readonly capThickness: number;
  /** Capacitor: nickel electrodes where both kinds overlap, all layers together. */
  readonly electrodeThickness: number;
  /** Margin of the electrodes to the far end and to the sides. */
  readonly electrodeMargin: readonly [end: number, side: number];
}

const END_FACE_MM = 0.04;

/** Builder of a chip capacitor or resistor: no lead frame, no die. */
export function chipPackage(shape: ChipShape): BuildPackage {
  return (construction, random) => {
    const [length, width] = construction.bodyMm;
    const t = construction.bodyThicknessMm;
    const ceramic = shape.kind === "capacitor" ? "bariumTitanate" : "alumina";
    const [a, b] = [length / 2, width / 2];
    const frame: Feature[] = [];
    const caps = [-1, 1].map((s) => {
      const inner = s * (a - shape.capLength * (1 + 0.04 * random.normal()));
      return box(Math.min(s * a, inner), -b, Math.max(s * a, inner), b);
    });
    frame.push(
      sheet("tin", shape.capThickness / 2, t / 2, caps),
      sheet("nickel", shape.capThickness / 2, t / 2, caps),
    );
    const ends = [-1, 1].map((s) => box(s * a - END_FACE_MM / 2 - (s * END_FACE_MM) / 2, -b, s * a + END_FACE_MM / 2 - (s * END_FACE_MM) / 2, b)); // biome-ignore format: one box
    frame.push(sheet("tin", 0.8 * t, t / 2, ends));
    if (shape.kind === "capacitor") {
      const [end, side] = shape.electrodeMargin;
      const half = shape.electrodeThickness / 2;
      frame.push(
        sheet("nickel", half, t / 2, [box(-a, -b + side, a - end, b - side)]),
        sheet("nickel", half, t / 2, [box(-a + end, -b + side, a, b - side)]),
      );
    } else {
      // Printed resistor: a thin dense film with a trimming cut.
      const film = box(-a + 0.8 * shape.capLength, -b + 0.15, a - 0.8 * shape.capLength, b - 0.15);
      const cut = box(-0.05 + 0.1 * random.normal(), -b + 0.1, 0.05, b * random.between(-0.2, 0.3));
      frame.push(sheet("silver", 0.004, t, [film], [cut]));
    }
    return {
      frame,
      body: [sheet(ceramic, t, t / 2, [rectangle([0, 0], length, width)])],
      overallMm: [length, width],
      padOutlineMm: null,
      leads: [],
      dieCentreMm: [0, 0],
      dieZMm: t / 2,
    };
  };
}
