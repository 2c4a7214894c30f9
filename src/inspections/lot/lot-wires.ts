import { applyMap } from "../../align/similarity.ts";
import type { Image } from "../../numeric/image.ts";
import { median } from "../../numeric/order.ts";
import type { Measured } from "../../units/measured.ts";
import { notMeasured } from "../../units/measured.ts";
import type { ComparedWires, PartWire } from "../wires/compare-wires.ts";
import { compareWires } from "../wires/compare-wires.ts";
import type { WirePart } from "../wires/wire-parts.ts";
import { wiresAlone } from "../wires/wires-alone.ts";
import { boxBeside } from "./calling/picture-box.ts";
import type { GroupScene } from "./details/group-scenes.ts";
import type { PlacedItem } from "./lot-item.ts";
import { ballGridView } from "./measuring/ball-grid-view.ts";
import { toPictureMap } from "./measuring/describe-part.ts";
import type { PlacedLot } from "./placing/place-lot.ts";
import type { LotCall, LotCompared, LotWire } from "./result.ts";

/** What was found of one part's wires. */
export interface PartWires {
  /** Wires seen, with the number of those that could not be judged as its uncertainty. */
  readonly seen: Measured;
  readonly calls: readonly LotCall[];
  readonly wires: readonly LotWire[];
}

/** The wires of the lot. */
export interface LotWires {
  readonly parts: readonly PartWires[];
  /** By group: what its parts have in common, to judge further parts by; null where that is not known. */
  readonly groups: readonly (ComparedWires | null)[];
  readonly compared: LotCompared;
}

/**
 * Compares the bond wires of each group's parts with each other.
 *
 * @param images each part in the lot's frame, attenuation
 * @param scenes the groups' averages with their lead ends
 */
export function lotWires(
  lot: PlacedLot,
  images: readonly Image[],
  scenes: readonly (GroupScene | null)[],
): LotWires {
  const none: PartWires = { seen: notMeasured("1", "not-visible"), calls: [], wires: [] };
  const parts = lot.items.map(() => none);
  if (lot.frame.wholeField)
    return {
      parts,
      groups: scenes.map(() => null),
      compared: notCompared("crops of a board show no package's wires"),
    };
  const groups = scenes.map((group) => group && groupWires(images, group));
  scenes.forEach((group, g) => {
    if (!group) return;
    const wires = groups[g];
    if (!wires) {
      wiresAlone(wireParts(images, group), group.leadFrame.leads, group.scene, group.openNoise).forEach(
        (of, k) => {
          const i = group.members[k] as number;
          parts[i] = toldAlone(of, lot.items[i] as PlacedItem);
        },
      );
      return;
    }
    group.members.forEach((i, k) => {
      if (!wires.bonded.length) return;
      const of = wires.parts[k] as readonly PartWire[];
      const item = lot.items[i] as PlacedItem;
      parts[i] = {
        seen: wiresSeen(of),
        calls:
          noneBonded(of, endsOf(group), wires, item) ??
          of.flatMap((w) => wireCall(w, endsOf(group), wires, item)),
        wires: of.map((w) => wireInPicture(w, item)),
      };
    });
  });
  return { parts, groups, compared: describe(groups, scenes, posesThatFit(lot)) };
}

function wireInPicture({ lead, state, fromPx, toPx, contrastToNoise }: PartWire, item: PlacedItem): LotWire {
  const map = toPictureMap(item);
  return { lead, state, fromPx: applyMap(map, fromPx), toPx: applyMap(map, toPx), contrastToNoise };
}

/** What a part alone shows of its wires; nothing is called of them. */
function toldAlone(of: readonly PartWire[], item: PlacedItem): PartWires {
  const seen = of.some((w) => w.state === "seen") ? wiresSeen(of) : notMeasured("1", "too-few");
  return { seen, calls: [], wires: of.map((w) => wireInPicture(w, item)) };
}

function wireParts(images: readonly Image[], group: GroupScene): WirePart[] {
  return group.members.map((i, k) => ({ image: images[i] as Image, die: group.dies[k] ?? null }));
}

function groupWires(images: readonly Image[], group: GroupScene): ComparedWires | null {
  if (group.balls) {
    const view = ballGridView(images, group, group.balls);
    return view && compareWires(view.parts, view.fingers, view.scene, group.openNoise);
  }
  return compareWires(wireParts(images, group), group.leadFrame.leads, group.scene, group.openNoise);
}

function wiresSeen(wires: readonly PartWire[]): Measured {
  const seen = wires.filter((w) => w.state === "seen" || w.state === "elsewhere").length;
  const open = wires.filter((w) => w.state === "unclear" || w.state === "not-assessable").length;
  if (open > 0.5 * wires.length) return notMeasured("1", "not-visible");
  const note = open ? `${open} more could not be judged` : "wires seen, counted";
  return { value: seen, U: open, k: 2, unit: "1", note };
}

/** What wires end on away from the die. */
function endsOf({ balls }: GroupScene): string {
  return balls ? "bond finger" : "lead";
}

function wireCall(wire: PartWire, end: string, { leads }: ComparedWires, item: PlacedItem): LotCall[] {
  const where = `${end} ${wire.lead} of ${leads}, counted clockwise from the top left as aligned`;
  const noise = `contrast-to-noise ${wire.contrastToNoise.toFixed(0)} along it`;
  const share = Math.max(0, Math.round(100 * wire.share));
  const boxPx = boxBeside([wire.fromPx, wire.toPx], item, marginPx);
  switch (wire.state) {
    case "absent":
      return [
        {
          kind: "wire-absent",
          boxPx,
          says: `no wire at ${where}: ${share} % of what its group shows there (${noise})`,
        },
      ];
    case "broken":
      return [
        {
          kind: "wire-broken",
          boxPx,
          says: `the wire at ${where} is interrupted over a quarter of its length or more (${noise})`,
        },
      ];
    case "elsewhere":
      return [
        {
          kind: "wire-elsewhere",
          boxPx,
          says: `the wire at ${where} runs to another place than in its group (${noise})`,
        },
      ];
    default:
      return [];
  }
}

/** From this many wires on, none of which a part shows, it is one fault and not many. */
const fewestOfDie = 3;

/** A part without any of its group's wires: what lies where the die belongs is no bonded die. */
function noneBonded(
  of: readonly PartWire[],
  end: string,
  { leads }: ComparedWires,
  item: PlacedItem,
): LotCall[] | null {
  if (of.length < fewestOfDie || of.some((wire) => wire.state !== "absent")) return null;
  const noise = median(of.map((wire) => wire.contrastToNoise)).toFixed(0);
  return [
    {
      kind: "absent-die",
      boxPx: boxBeside(
        of.map((wire) => wire.toPx),
        item,
        marginPx,
      ),
      says: `none of the ${of.length} wires that its group has from ${leads} ${end}s (contrast-to-noise ${noise}): no die, what is seen there may be attach alone, or a die that was never bonded`,
    },
  ];
}

/** Room around a wire's ends, frame px. */
const marginPx = 6;

/** What cannot be told of the bonding where the lead frame looks the same turned or mirrored. */
function posesThatFit(lot: PlacedLot): string {
  const fits = lot.items.flatMap(({ aligned }) => aligned.alternatives.filter(({ equal }) => equal));
  if (fits.length < 0.5 * lot.items.length) return "";
  return "; the frame fits turned or mirrored as well: a bonding that is this one so laid is not told from a part that lies so";
}

/** What was compared of the wires, and whether one missing wire would have been noticed. */
function describe(
  groups: readonly (ComparedWires | null)[],
  scenes: readonly (GroupScene | null)[],
  poses: string,
): LotCompared {
  const found = groups.flatMap((wires, g) => (wires ? [{ ...wires, balls: scenes[g]?.balls ?? null }] : []));
  if (!found.length)
    return notCompared(
      scenes.some((group) => group?.balls)
        ? "beneath the balls of fewer than three parts of one construction dies and wires show: too few to know its wires"
        : "fewer than three parts of one construction with a die: too few to know its wires",
    );
  const wires = found.flatMap((f) => f.parts.flat());
  if (!wires.length)
    return notCompared(
      "no bond wire stands out from what lies around it: thin, aluminium or copper wires may not show with this technique",
    );
  const judged = wires.filter((w) => w.state !== "unclear" && w.state !== "not-assessable");
  const noise = median(wires.map((w) => w.contrastToNoise)).toFixed(0);
  const splits = found.flatMap(({ split }) => split?.leads ?? []);
  const twoWays = splits.length
    ? `; parts alike but bonded in two ways at lead ${splits.join(", ")}: with a wire and without`
    : "";
  const bonded = found
    .map((f) => `${f.bonded.length} of ${f.leads} ${f.balls ? byWires : "inner lead ends"}`)
    .join(", ");
  const because = `wires from ${bonded}, contrast-to-noise ${noise} along a wire; ${judged.length} of ${wires.length} judged${twoWays}${poses}`;
  if (judged.length <= 0.5 * wires.length) return notCompared(because);
  return {
    characteristic: "wiresSeen",
    assessable: true,
    because,
    smallestDetectable: { value: 1, U: 0, k: 2, unit: "1", note: "one wire absent, broken or elsewhere" },
  };
}

/** Where no lead frame says how many ends there are. */
const byWires = "bond fingers found by their wires (one that has a wire in no part is not known)";

function notCompared(because: string): LotCompared {
  return {
    characteristic: "wiresSeen",
    assessable: false,
    because,
    smallestDetectable: notMeasured("1", "not-visible"),
  };
}
