import { median, robustSpread } from "../../../numeric/order.ts";
import type { OrientedRectangle } from "../../../numeric/oriented-rectangle.ts";
import { rectangleCorners } from "../../../numeric/oriented-rectangle.ts";
import type { Scale } from "../../../radiograph/radiograph.ts";
import { toMillimetres } from "../../../radiograph/scale.ts";
import { measured as measuredValue, notMeasured } from "../../../units/measured.ts";
import { lengthText } from "../calling/length-text.ts";
import { boxBeside } from "../calling/picture-box.ts";
import type { PlacedItem } from "../lot-item.ts";
import type { MeasuredLot } from "../measuring/measure-lot.ts";
import type { PlacedLot } from "../placing/place-lot.ts";
import type { LotCall, LotCompared } from "../result.ts";
import type { GroupScene } from "./group-scenes.ts";
import type { LotDetail } from "./lot-detail.ts";

/** Fewer dies do not say how far their places vary. */
const leastDies = 5;
/** Robust standard deviations from the group's middle at which a place is called; more where few dies say so. */
const farSigma = 8;
const manyDies = 10;
const farSigmaOfFew = 12;
/** Nor is less called than this share of the die's shorter side, or this turn (common practice). */
const leastShiftShare = 0.08;
const leastShiftPx = 4;
const leastTurnDeg = 4;

/** How the dies of a group lie, and from where on one lies elsewhere. */
interface DiePlaces {
  readonly middle: readonly [x: number, y: number, turnDeg: number];
  /** Shift along, across (frame px) and turn (degrees) beyond which a die is called. */
  readonly most: readonly [x: number, y: number, turnDeg: number];
  readonly lengthPx: number;
  readonly widthPx: number;
}

/**
 * Where the die lies on its frame and how it is turned, against its group: by the dies' own spread, no less than the
 * edges' uncertainty and what placement usually leaves. No reason to sort a part into another construction.
 */
export function diePlace(
  lot: PlacedLot,
  measured: MeasuredLot,
  scenes: readonly (GroupScene | null)[],
  scale: Scale,
): LotDetail {
  const calls: LotCall[][] = lot.items.map(() => []);
  const pxPerFrame = lot.frame.reducedBy * lot.frame.patchReducedBy;
  const known: DiePlaces[] = [];
  for (const group of scenes) {
    if (!group) continue;
    const u = group.members.flatMap((i) => {
      const die = measured.parts[i]?.die;
      return die ? [Math.max(die.uLengthPx, die.uWidthPx)] : [];
    });
    const places = placesOf(
      group.dies.filter((die) => die !== null),
      u.length ? median(u) : 0,
    );
    if (!places) continue;
    known.push(places);
    group.members.forEach((i, k) => {
      const die = group.dies[k];
      const item = lot.items[i] as PlacedItem;
      const says = die && elsewhere(die, places, pxPerFrame, scale, mayLieAcross(item));
      if (says) calls[i] = [{ kind: "die", boxPx: boxBeside(rectangleCorners(die), item, 0), says }];
    });
  }
  return { calls, compared: describe(known, pxPerFrame, scale) };
}

/** @param uPx standard uncertainty of an edge, frame px */
function placesOf(dies: readonly OrientedRectangle[], uPx: number): DiePlaces | null {
  if (dies.length < leastDies) return null;
  const values = [
    dies.map((die) => die.centrePx[0]),
    dies.map((die) => die.centrePx[1]),
    dies.map((die) => degrees(die.angleRad)),
  ] as const;
  const lengthPx = median(dies.map((die) => die.lengthPx));
  const widthPx = median(dies.map((die) => die.widthPx));
  const shorter = Math.min(lengthPx, widthPx);
  const leastShift = Math.max(leastShiftPx, leastShiftShare * shorter) + 2 * uPx;
  const leastTurn = leastTurnDeg + 2 * degrees(uPx / Math.max(1, shorter));
  const far = dies.length >= manyDies ? farSigma : farSigmaOfFew;
  const [x, y, turn] = values.map((of) => robustSpread(of)) as [number, number, number];
  return {
    middle: values.map((of) => median(of)) as [number, number, number],
    most: [Math.max(leastShift, far * x), Math.max(leastShift, far * y), Math.max(leastTurn, far * turn)],
    lengthPx,
    widthPx,
  };
}

function degrees(rad: number): number {
  return (rad * 180) / Math.PI;
}

function elsewhere(
  die: OrientedRectangle,
  { middle, most, lengthPx, widthPx }: DiePlaces,
  pxPerFrame: number,
  scale: Scale,
  across: boolean,
): string | null {
  const text = (px: number) => lengthText(Math.abs(px) * pxPerFrame, scale);
  const said: string[] = [];
  const dx = die.centrePx[0] - middle[0];
  const dy = die.centrePx[1] - middle[1];
  const turn = degrees(die.angleRad) - middle[2];
  if (Math.abs(dx) > most[0] || Math.abs(dy) > most[1])
    said.push(
      `lies ${text(dx)} to the ${dx > 0 ? "right" : "left"} and ${text(dy)} ${dy > 0 ? "lower" : "higher"} as aligned`,
    );
  if (!across && isQuarterTurned(die, lengthPx, widthPx))
    said.push("is turned by a quarter turn, 90 degrees,");
  else if (Math.abs(turn) > most[2])
    said.push(
      `is turned by ${Math.abs(turn).toFixed(1)} degrees ${turn > 0 ? "clockwise" : "anticlockwise"}`,
    );
  return said.length ? `the die ${said.join(" and ")} against the middle of its group's` : null;
}

/** How near sides must be to count as equal, and how far apart a die's own two for a quarter turn to show. */
const sameSideShare = 0.04;
const sameSidePx = 2.5;

/** Whether a die's sides are the group's, the other way round. A square one's quarter turn does not show. */
export function isQuarterTurned(
  die: Pick<OrientedRectangle, "lengthPx" | "widthPx">,
  lengthPx: number,
  widthPx: number,
): boolean {
  const near = Math.max(sameSidePx, sameSideShare * Math.max(lengthPx, widthPx));
  return (
    Math.abs(lengthPx - widthPx) > 2 * near &&
    Math.abs(die.lengthPx - widthPx) < near &&
    Math.abs(die.widthPx - lengthPx) < near
  );
}

function describe(known: readonly DiePlaces[], pxPerFrame: number, scale: Scale): LotCompared[] {
  const unit = scale.umPerPx === null ? ("px" as const) : ("mm" as const);
  if (!known.length) {
    const because = "fewer than five dies measured in parts of one construction";
    return [
      {
        characteristic: "diePlace",
        assessable: false,
        because,
        smallestDetectable: notMeasured(unit, "too-few"),
      },
      {
        characteristic: "dieTurn",
        assessable: false,
        because,
        smallestDetectable: notMeasured("deg", "too-few"),
      },
    ];
  }
  const shift = pxPerFrame * Math.max(...known.flatMap(({ most }) => [most[0], most[1]]));
  const turn = Math.max(...known.map(({ most }) => most[2]));
  const square = known.some(
    ({ lengthPx, widthPx }) => !isQuarterTurned({ lengthPx: widthPx, widthPx: lengthPx }, lengthPx, widthPx),
  );
  return [
    {
      characteristic: "diePlace",
      assessable: true,
      because: "each die against the middle place of its group, by the group's own spread",
      smallestDetectable: toMillimetres(measuredValue(shift, 0.2 * shift, "px"), scale),
    },
    {
      characteristic: "dieTurn",
      assessable: true,
      because: square
        ? "each die against its group; the die is so nearly square that a quarter turn does not show"
        : "each die against its group, quarter turns included",
      smallestDetectable: measuredValue(turn, 0.2 * turn, "deg"),
    },
  ];
}

/** Whether a part may itself lie a quarter turn otherwise, as far as its frame shows: then its die's turn says nothing. */
export function mayLieAcross({ aligned }: PlacedItem): boolean {
  return aligned.alternatives.some(
    (other) => other.equal && Math.abs(Math.cos(((other.turnDeg - aligned.turnDeg) * Math.PI) / 180)) < 0.3,
  );
}
