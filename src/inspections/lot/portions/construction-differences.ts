import type { Measured } from "../../../units/measured.ts";
import type { LotGroup, LotReason } from "../result.ts";
import type { Construction, InspectedPortion } from "./inspected-portion.ts";

type Difference = Pick<LotGroup["differsFrom"][number], "because" | "heldOut">;

/** Measures without a direction: an outline, a number of leads. */
const withoutSign = new Set(["outline", "bonding"]);

/**
 * What separates two constructions: as seen in the first portion that holds both, else as one's parts were seen against
 * typical parts of the other.
 *
 * @returns null where nothing is known to
 */
export function constructionDifferences(
  portions: readonly InspectedPortion[],
  constructions: readonly Pick<Construction, "typical">[],
): (of: number, from: number) => Difference | null {
  const met = (of: number, from: number): Difference | null => {
    for (const { findings, constructionOf } of portions) {
      const [here, there] = [constructionOf.indexOf(of), constructionOf.indexOf(from)];
      if (here < 0 || there < 0) continue;
      const name = findings.groups[there]?.name;
      const found = findings.groups[here]?.differsFrom.find(({ group }) => group === name);
      if (found?.because.length) return { because: found.because, heldOut: found.heldOut };
    }
    return null;
  };
  const byTypical = (of: number, from: number): Difference | null => {
    const typical = constructions[from]?.typical ?? [];
    for (const { before, constructionOf } of portions) {
      const group = constructionOf.indexOf(of);
      const found = before.find(
        ({ id, against }) => typical.includes(id) && against[group]?.verdict === "differs",
      );
      const because = found?.against[group]?.because;
      if (because?.length) return { because, heldOut: untested };
    }
    return null;
  };
  return (of, from) => {
    if (of === from) return null;
    const seen = met(of, from) ?? byTypical(of, from);
    if (seen) return seen;
    const reverse = byTypical(from, of);
    return reverse && { ...reverse, because: reverse.because.map(otherWay) };
  };
}

const untested = {
  p: null,
  on: [],
  says: "Not tested on structures held out: the two were not inspected in one portion.",
};

function otherWay({ measurement, by }: LotReason): LotReason {
  const turned: Measured =
    by.value === null || withoutSign.has(measurement) ? by : { ...by, value: -by.value };
  return { measurement, by: turned };
}
