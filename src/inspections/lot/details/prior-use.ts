import type { Image } from "../../../numeric/image.ts";
import { median, robustSpread } from "../../../numeric/order.ts";
import type { Scale } from "../../../radiograph/radiograph.ts";
import { toMillimetres } from "../../../radiograph/scale.ts";
import { measured as measuredValue, notMeasured } from "../../../units/measured.ts";
import { lengthText } from "../calling/length-text.ts";
import { boxThrough } from "../calling/picture-box.ts";
import type { PlacedItem } from "../lot-item.ts";
import { toPictureMap } from "../measuring/describe-part.ts";
import type { MeasuredLot } from "../measuring/measure-lot.ts";
import type { PlacedLot } from "../placing/place-lot.ts";
import type { LotCall, LotCompared } from "../result.ts";
import type { GroupScene } from "./group-scenes.ts";
import type { LotDetail } from "./lot-detail.ts";
import type { LeadShape, OuterLead } from "./outer-leads.ts";
import { leadShape, outerLeads } from "./outer-leads.ts";

/** Fewer parts do not say how far their leads vary. */
const leastGroup = 5;
/** Robust standard deviations from the group's middle at which a lead is called. */
const farSigma = 8;
/** Nor is less called: more matter than this share of a lead's own, or a place this far off. */
const leastExtra = 0.3;
const leastShiftPx = 3;
const leastShiftOfWidth = 0.25;
/** Where more leads than this share of a part's differ, the part lies otherwise: nothing is said of its leads. */
const mostLeads = 0.5;

interface GroupLeads {
  readonly leads: readonly OuterLead[];
  readonly mostExtra: number;
  readonly mostShiftPx: number;
}

/**
 * Signs of earlier use on the leads outside the body, each part against its group: more dense matter on a lead
 * (solder), a lead that lies or ends elsewhere (bent). Supporting evidence only: handling and forming leave the same.
 */
export function priorUse(
  lot: PlacedLot,
  measured: MeasuredLot,
  scenes: readonly (GroupScene | null)[],
  scale: Scale,
): LotDetail {
  const calls: LotCall[][] = lot.items.map(() => []);
  const pxPerFrame = lot.frame.reducedBy * lot.frame.patchReducedBy;
  const known: GroupLeads[] = [];
  for (const group of scenes) {
    if (!group || group.members.length < leastGroup) continue;
    const leads = outerLeads(group);
    if (!leads.length) continue;
    const shapes = group.members.map((i) =>
      leads.map((lead) =>
        leadShape(measured.images[i] as Image, lot.tones[i] as PlacedLot["tones"][number], lead),
      ),
    );
    const found = offsets(leads, shapes);
    known.push({ leads, mostExtra: found.mostExtra, mostShiftPx: found.mostShiftPx });
    group.members.forEach((i, k) => {
      const own = found.parts[k] as readonly (Offset | null)[];
      const said = own.flatMap((offset, n): LotCall[] => {
        const says = offset && sayOffset(offset, found, pxPerFrame, scale);
        const item = lot.items[i] as PlacedItem;
        const lead = leads[n] as OuterLead;
        return says
          ? [{ kind: "prior-use", boxPx: boxThrough(toPictureMap(item), lead.boxPx, item), says }]
          : [];
      });
      if (said.length <= mostLeads * leads.length) calls[i] = said;
    });
  }
  return { calls, compared: [describe(known, pxPerFrame, scale)] };
}

interface Offset {
  /** More matter than the group's lead has, as a share of it. */
  readonly extra: number;
  readonly acrossPx: number;
  readonly endPx: number;
}

/** Every lead of every part against the middle of its like, with the limits that the group's own spread gives. */
function offsets(leads: readonly OuterLead[], shapes: readonly (readonly (LeadShape | null)[])[]) {
  const columns = leads.map((_, n) => {
    const seen = shapes.flatMap((own) => own[n] ?? []);
    if (seen.length < leastGroup) return null;
    return {
      mass: median(seen.map((s) => s.mass)),
      acrossPx: median(seen.map((s) => s.acrossPx)),
      endPx: median(seen.map((s) => s.endPx)),
    };
  });
  const parts = shapes.map((own) =>
    own.map((shape, n): Offset | null => {
      const middle = columns[n];
      if (!shape || !middle) return null;
      return {
        extra: shape.mass / middle.mass - 1,
        acrossPx: shape.acrossPx - middle.acrossPx,
        endPx: shape.endPx - middle.endPx,
      };
    }),
  );
  const all = parts.flat().filter((o) => o !== null);
  const spread = (of: (offset: Offset) => number) => robustSpread(all.map(of));
  const width = median(leads.map((lead) => lead.widthPx));
  const shift = Math.max(
    spread((o) => o.acrossPx),
    spread((o) => o.endPx),
  );
  return {
    parts,
    mostExtra: Math.max(leastExtra, farSigma * spread((o) => o.extra)),
    mostShiftPx: Math.max(leastShiftPx, leastShiftOfWidth * width, farSigma * shift),
  };
}

function sayOffset(
  { extra, acrossPx, endPx }: Offset,
  { mostExtra, mostShiftPx }: { readonly mostExtra: number; readonly mostShiftPx: number },
  pxPerFrame: number,
  scale: Scale,
): string | null {
  const text = (px: number) => lengthText(Math.abs(px) * pxPerFrame, scale);
  const said = [
    extra > mostExtra
      ? [`${Math.round(100 * extra)} % more matter than its like, as solder left on it has`]
      : [],
    Math.abs(acrossPx) > mostShiftPx ? [`bent aside by ${text(acrossPx)}`] : [],
    Math.abs(endPx) > mostShiftPx
      ? [`ending ${text(endPx)} ${endPx > 0 ? "further out" : "nearer to the body"}`]
      : [],
  ].flat();
  if (!said.length) return null;
  return `a lead outside the body, ${said.join(", ")}: supporting evidence of earlier use, no proof (handling leaves the same)`;
}

function describe(known: readonly GroupLeads[], pxPerFrame: number, scale: Scale): LotCompared {
  const unit = scale.umPerPx === null ? ("px" as const) : ("mm" as const);
  if (!known.length)
    return {
      characteristic: "leadsOutside",
      assessable: false,
      because:
        "no leads stand out of the body whole inside the picture, or fewer than five parts of one construction",
      smallestDetectable: notMeasured(unit, "not-visible"),
    };
  const count = known.map(({ leads }) => leads.length).join(", ");
  const extra = Math.round(100 * Math.max(...known.map(({ mostExtra }) => mostExtra)));
  const shift = pxPerFrame * Math.max(...known.map(({ mostShiftPx }) => mostShiftPx));
  return {
    characteristic: "leadsOutside",
    assessable: true,
    because: `${count} leads outside the body against their like, as supporting evidence of earlier use: matter from ${extra} % more; smallest: a lead bent by`,
    smallestDetectable: toMillimetres(measuredValue(shift, 0.2 * shift, "px"), scale),
  };
}
