import type { LotDocumentPart } from "../contract/lot-document.ts";
import { differenceFromGroup, groupMeasurement } from "../judgement/group-measurements.ts";
import { counted } from "../judgement/in-words.ts";
import { identityText } from "../judgement/lot-wording.ts";
import {
  characteristicText,
  measuredNumberText,
  measuredText,
  unitText,
} from "../judgement/measured-text.ts";
import type { Image } from "../numeric/image.ts";
import { averagesDifference, differenceOverlay } from "./difference-overlay.ts";
import { greyPicture, shrinkTo } from "./display-picture.ts";
import type { Html } from "./html.ts";
import { html, noHtml } from "./html.ts";
import type { LotReportView } from "./lot-report-view.ts";
import { averageLayerId, marksOf, scaleBarOf } from "./lot-report-view.ts";
import { callKindText } from "./lot-words.ts";
import { layerAgain, pictureFigure, pictureLayer } from "./picture-figure.ts";

/** Suspects shown in large pictures, and how wide. */
export const mostSuspectsDrawn = 12;
export const largeWidthPx = 460;

/** Averages of two groups count as apart where they differ by this share of the display window. */
const shareOfWindow = 0.1;

/** What the colours of an overlay mean. */
export const overlayLegend: Html = html`<p class="legend"><span><i class="swatch denser"></i>solid blue: denser here</span> <span><i class="swatch lighter"></i>striped orange: less dense here</span></p>`;

/** Every suspect (the oddest ones when there are many): pictures, calls in words, measurements against the group. */
export function suspectDetails(view: LotReportView): Html {
  const suspects = view.ordered.filter(({ suspect }) => suspect).sort((a, b) => b.oddness - a.oddness);
  if (suspects.length === 0) return html`<p>No part is named suspect.</p>`;
  const left = suspects.length - mostSuspectsDrawn;
  const note =
    left > 0
      ? html`<p>${counted(left, "more suspect")} with a lower oddness ${left === 1 ? "is" : "are"} in the table of suspects and on the contact sheet.</p>`
      : noHtml;
  return html`${suspects.slice(0, mostSuspectsDrawn).map((part, at) => suspectArticle(view, part, at))}${note}`;
}

function suspectArticle(view: LotReportView, part: LotDocumentPart, at: number): Html {
  const name = view.shortName(part.id);
  const known = [part.name, part.code && `code ${part.code}`, part.position && `position ${part.position}`];
  const besides = known.flatMap((text) => (text ? [`, ${text}`] : [])).join("");
  const calls = part.calls.map(({ kind, says }) => html`<li><b>${callKindText(kind)}.</b> ${says}</li>`);
  const why =
    calls.length > 0
      ? html`<ol class="calls">${calls}</ol>`
      : html`<p>Nothing is called inside the part: it belongs to a minority group.</p>`;
  return html`<article class="suspect-detail"><h3>${name} <span class="quiet">suspect, group ${part.group ?? "none"}, ${part.oddness.toFixed(2)} × limit${besides}</span></h3>${suspectPictures(view, part, at)}<div class="beside"><div><h4>Calls</h4>${why}<p class="quiet">Turn ${part.pose.turn.toFixed(1)}°${part.pose.mirrored ? ", mirrored" : ""}; size ${part.relativeScale.toFixed(4)} of the reference part.</p></div><div>${againstGroup(view, part)}</div></div></article>`;
}

function suspectPictures(view: LotReportView, part: LotDocumentPart, at: number): Html {
  const aligned = view.alignedById.get(part.id);
  if (aligned === undefined) return html`<p>There is no aligned picture of this part.</p>`;
  const { width, height, encodePng, mainGroup } = view;
  const name = view.shortName(part.id);
  const id = `${view.layerPrefix}suspect-${at}`;
  const scaleBar = scaleBarOf(view, part);
  const own = pictureFigure({
    width,
    height,
    label: `${name}, aligned, calls boxed`,
    layers: [
      pictureLayer(
        greyPicture(shrinkTo(aligned.attenuation, largeWidthPx), view.window),
        encodePng,
        width,
        height,
        id,
      ),
    ],
    marks: marksOf(view, part, true),
    scaleBar,
  });
  const average =
    mainGroup === null || !view.averageByGroup.has(mainGroup)
      ? noHtml
      : html`<figure>${pictureFigure({ width, height, label: `average of group ${mainGroup}`, layers: [layerAgain(averageLayerId(view, mainGroup))], scaleBar })}<figcaption>Average of group ${mainGroup}</figcaption></figure>`;
  const { difference, against } = differenceShown(view, part, aligned.difference);
  const overlay = differenceOverlay(difference, largeWidthPx);
  const layers =
    overlay === null ? [layerAgain(id)] : [layerAgain(id), pictureLayer(overlay, encodePng, width, height)];
  const caption = overlay === null ? `Nothing exceeds the limit in ${against}` : `What differs: ${against}`;
  const differs = pictureFigure({ width, height, label: caption, layers });
  return html`<div class="three"><figure>${own}<figcaption>This part</figcaption></figure>${average}<figure class="differs">${differs}<figcaption>${caption}</figcaption></figure></div>`;
}

/** A part of the main group against its average; a part of another group by what separates the two averages. */
function differenceShown(
  view: LotReportView,
  part: LotDocumentPart,
  difference: Image,
): { difference: Image; against: string } {
  const { mainGroup, averageByGroup, window } = view;
  const own = part.group === null ? undefined : averageByGroup.get(part.group);
  const main = mainGroup === null ? undefined : averageByGroup.get(mainGroup);
  if (part.group === mainGroup || own === undefined || main === undefined)
    return { difference, against: "this part against its group, beyond the limit" };
  const limit = shareOfWindow * (window.high - window.low);
  return {
    difference: averagesDifference(own, main, limit),
    against: `average of ${part.group} against average of ${mainGroup}, beyond ${shareOfWindow * 100} % of the window`,
  };
}

function againstGroup(view: LotReportView, part: LotDocumentPart): Html {
  const { mainGroup, document } = view;
  const others = document.parts.filter(
    ({ id, group, assessable }) => assessable && group === mainGroup && id !== part.id,
  );
  const rows = Object.entries(part.measurements).flatMap(([name, measured]) => {
    const group = groupMeasurement(others.flatMap((other) => other.measurements[name] ?? []));
    const difference = differenceFromGroup(measured, group);
    if (measured.value === null && group.median === null) return [];
    const median =
      group.median === null
        ? "none"
        : measuredNumberText({ value: group.median, U: group.U, k: 2, unit: group.unit });
    const apart = difference?.outside === true;
    const by = difference === null ? "none" : measuredText(difference.by);
    return [
      html`<tr${apart ? html` class="apart"` : noHtml}><th scope="row">${characteristicText(name)}</th><td class="number">${measuredNumberText(measured)}</td><td class="number">${median}</td><td class="unit">${unitText(measured.unit)}</td><td class="number">${by}</td><td>${apart ? "◆ apart" : difference === null ? "" : "within"}</td></tr>`,
    ];
  });
  if (rows.length === 0) return html`<p>No measurement of this part has a number.</p>`;
  return html`<table class="tight"><thead><tr><th scope="col">Measured</th><th scope="col" class="number">This part ± U</th><th scope="col" class="number">Group ${mainGroup ?? ""} median ± U</th><th scope="col"></th><th scope="col" class="number">Difference ± U</th><th scope="col">Beyond U</th></tr></thead><tbody>${rows}</tbody></table>`;
}

/** Each group's average, drawn once; other places draw it again by its id. */
export function groupAverages(view: LotReportView): Html {
  const { width, height, document, encodePng, window } = view;
  const figures = document.groups.map((group) => {
    const average = view.averageByGroup.get(group.name);
    const picture =
      average === undefined
        ? html`<p>no average</p>`
        : pictureFigure({
            width,
            height,
            label: `average of group ${group.name}`,
            layers: [
              pictureLayer(
                greyPicture(shrinkTo(average, largeWidthPx), window),
                encodePng,
                width,
                height,
                averageLayerId(view, group.name),
              ),
            ],
            scaleBar: scaleBarOf(
              view,
              document.parts.find((part) => part.group === group.name),
            ),
          });
    const apart = group.differsFrom.map(
      ({ group: other, because, heldOut }) =>
        html`<li>from ${other}: ${because.map(({ measurement, by }) => `${characteristicText(measurement)} by ${measuredText(by)}`).join("; ")}<p class="quiet">${heldOut.says}</p></li>`,
    );
    const differs = apart.length === 0 ? noHtml : html`<p>Differs</p><ul>${apart}</ul>`;
    return html`<figure>${picture}<figcaption><b>Group ${group.name}</b>, ${counted(group.size, "part")}. Exemplar: ${identityText(group.againstExemplar)}.${differs}</figcaption></figure>`;
  });
  return html`<div class="three">${figures}${groupDifferences(view)}</div>`;
}

function groupDifferences(view: LotReportView): Html {
  const { width, height, document, mainGroup, window, encodePng } = view;
  const main = mainGroup === null ? undefined : view.averageByGroup.get(mainGroup);
  if (main === undefined || mainGroup === null) return noHtml;
  const figures = document.groups.slice(1, 7).map(({ name }) => {
    const average = view.averageByGroup.get(name);
    if (average === undefined) return noHtml;
    const overlay = differenceOverlay(
      averagesDifference(average, main, shareOfWindow * (window.high - window.low)),
      largeWidthPx,
    );
    const layers = [
      layerAgain(averageLayerId(view, name)),
      overlay === null ? noHtml : pictureLayer(overlay, encodePng, width, height),
    ];
    const caption = `What separates ${name} from ${mainGroup}, beyond ${shareOfWindow * 100} % of the window`;
    return html`<figure class="differs">${pictureFigure({ width, height, label: caption, layers })}<figcaption>${caption}</figcaption></figure>`;
  });
  return html`${figures}`;
}
