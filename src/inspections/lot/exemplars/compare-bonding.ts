import { measured } from "../../../units/measured.ts";
import type { ComparedWires } from "../../wires/compare-wires.ts";
import { judgeExtraPart } from "../../wires/judge-extra-part.ts";
import type { PartWire } from "../../wires/judge-part.ts";
import { dieInFrame } from "../details/group-scenes.ts";
import type { LotFrame } from "../placing/align-lot.ts";
import { intoFrame } from "../placing/align-lot.ts";
import type { Found } from "./found.ts";
import { notSeen } from "./found.ts";
import type { ExemplarOnGroup } from "./lay-exemplar.ts";
import type { MeasuredExemplar } from "./measured-exemplar.ts";

/** Share of a group's wires that must be told in an exemplar before its bonding is compared. */
const leastTold = 0.7;
/** How far beyond its limit one wire more or less is held to be. */
const unlikeTimes = 2;

/** Wires that one has and the other has not, lying as they agree best. */
export function compareBonding(
  frame: LotFrame,
  wires: ComparedWires | null,
  { measures }: MeasuredExemplar,
  { near }: ExemplarOnGroup,
): Found | null {
  if (!wires) return null;
  const ways = near.map((item) =>
    judgeExtraPart(wires, {
      image: intoFrame(frame, item.patch, item.aligned.map),
      die: dieInFrame(item, measures.die?.rectangle ?? null),
    }),
  );
  const unlike = (of: readonly PartWire[]) =>
    of.filter((w) => w.state === "absent" || w.state === "elsewhere").length;
  const told = (of: readonly PartWire[]) =>
    of.filter((w) => w.state !== "unclear" && w.state !== "not-assessable").length;
  const best = ways.reduce((p, q) => (unlike(q) < unlike(p) ? q : p));
  if (!best.length) return null;
  if (told(best) < leastTold * best.length)
    return notSeen("bonding", "1", "most wires are not seen in the exemplar");
  const leads = best.filter((w) => w.state === "absent" || w.state === "elsewhere").map((w) => w.lead);
  return {
    compared: {
      characteristic: "bonding",
      assessable: true,
      because: `${told(best)} of ${best.length} wires of the group could be judged in the exemplar`,
      smallestDetectable: measured(1, 0, "1"),
    },
    by: measured(new Set(leads).size, 0, "1", "leads bonded otherwise"),
    times: leads.length ? unlikeTimes : 0,
  };
}
