import { commonFolder, inFolder } from "../contract/common-folder.ts";
import type { LotDocument } from "../contract/lot-document.ts";
import type { LotAligned } from "../inspections/lot/result.ts";
import { counted } from "../judgement/in-words.ts";
import { identityText } from "../judgement/lot-wording.ts";
import { characteristicText, measuredText, sizeText } from "../judgement/measured-text.ts";
import { differenceOverlay } from "./difference-overlay.ts";
import { greyPicture, shrinkTo } from "./display-picture.ts";
import type { Html } from "./html.ts";
import { html, noHtml } from "./html.ts";
import type { LotReportView } from "./lot-report-view.ts";
import { averageLayerId } from "./lot-report-view.ts";
import { layerAgain, pictureFigure, pictureLayer } from "./picture-figure.ts";
import { largeWidthPx, overlayLegend } from "./suspect-details.ts";

type Exemplar = LotDocument["exemplars"][number];

/** Figures of exemplars drawn, those that differ first. */
const mostDrawn = 8;

/** Exemplars with their source and what each group's comparison says; null without exemplars. */
export function exemplarTable(view: LotReportView): Html | null {
  const { exemplars, job, views } = view.document;
  const stated = job?.exemplars ?? [];
  if (exemplars.length === 0 && stated.length === 0) return null;
  const one = views.length > 1 ? "Each view has exemplars of its own." : "";
  const rows = exemplars.map((exemplar) => {
    const source = stated.find(
      ({ picture }) => picture === exemplar.picture || exemplar.picture.endsWith(`/${picture}`),
    );
    const said = exemplar.against.map(
      ({ verdict, says }) => html`<li><b>${identityText(verdict)}.</b> ${says}</li>`,
    );
    return html`<tr><th scope="row" class="part">${exemplarName(view, exemplar.id)}</th><td>${source?.code ?? "not stated"}</td><td>${[source?.source, source?.proof].filter(Boolean).join("; ") || "not stated"}</td><td>${exemplar.assessable ? html`<ul>${said}</ul>` : `not assessable: ${exemplar.because ?? "no reason recorded"}`}</td></tr>`;
  });
  const unused = stated.filter(
    ({ picture }) =>
      !exemplars.some((each) => each.picture === picture || each.picture.endsWith(`/${picture}`)),
  );
  const missing =
    unused.length === 0
      ? noHtml
      : html`<p>Named in the job file and not compared: ${unused.map(({ picture }) => picture).join(", ")}.</p>`;
  if (rows.length === 0) return missing;
  return html`<p class="lead">An exemplar of another date code or revision may differ from good parts: such a difference is for the maker to confirm, and is no failure. Agreement speaks of construction only. ${one}</p><table><thead><tr><th scope="col" class="part">Exemplar</th><th scope="col">Code</th><th scope="col">Source and proof</th><th scope="col">Against the groups</th></tr></thead><tbody>${rows}</tbody></table>${missing}`;
}

/** Each exemplar in the lot's tone beside what a group has that it has not. */
export function exemplarFigures(view: LotReportView, aligned: LotAligned): Html {
  const verdictOf = ({ id, group }: LotAligned["exemplars"][number]) =>
    againstGroup(view, id, groupNamed(view, group))?.verdict;
  const ordered = [...aligned.exemplars].sort(
    (a, b) => Number(verdictOf(b) === "differs") - Number(verdictOf(a) === "differs"),
  );
  if (ordered.length === 0) return noHtml;
  const left = ordered.length - mostDrawn;
  const note =
    left > 0 ? html`<p>${counted(left, "more comparison")} not drawn: the table holds them.</p>` : noHtml;
  return html`${overlayLegend}${ordered.slice(0, mostDrawn).map((laid, at) => figureOf(view, laid, at))}${note}`;
}

function figureOf(view: LotReportView, laid: LotAligned["exemplars"][number], at: number): Html {
  const { width, height, encodePng, window } = view;
  const group = groupNamed(view, laid.group);
  const against = againstGroup(view, laid.id, group);
  if (against === undefined) return noHtml;
  const id = `${view.layerPrefix}exemplar-${at}`;
  const name = exemplarName(view, laid.id);
  const picture = pictureFigure({
    width,
    height,
    label: `exemplar ${name}`,
    layers: [
      pictureLayer(
        greyPicture(shrinkTo(laid.attenuation, largeWidthPx), window),
        encodePng,
        width,
        height,
        id,
      ),
    ],
  });
  const average = view.averageByGroup.has(group)
    ? html`<figure>${pictureFigure({ width, height, label: `average of group ${group}`, layers: [layerAgain(averageLayerId(view, group))] })}<figcaption>Average of group ${group}</figcaption></figure>`
    : noHtml;
  const overlay = differenceOverlay(laid.difference, largeWidthPx);
  const caption =
    overlay === null ? "Nothing exceeds the limit" : `What group ${group} has otherwise, beyond the limit`;
  const layers =
    overlay === null ? [layerAgain(id)] : [layerAgain(id), pictureLayer(overlay, encodePng, width, height)];
  return html`<article class="suspect-detail"><h3>${name} against group ${group} <span class="quiet">${identityText(against.verdict)}</span></h3><div class="three"><figure>${picture}<figcaption>The exemplar, in the lot's tone</figcaption></figure>${average}<figure class="differs">${pictureFigure({ width, height, label: caption, layers })}<figcaption>${caption}</figcaption></figure></div>${reasons(against)}</article>`;
}

function againstGroup({ document }: LotReportView, id: string, group: string) {
  return document.exemplars.find((each) => each.id === id)?.against.find((each) => each.group === group);
}

/** An exemplar's name without the folder that all exemplars lie in. */
function exemplarName(view: LotReportView, id: string): string {
  const folder = commonFolder(view.document.exemplars.map(({ picture }) => picture));
  return folder === "" ? view.fileName(id) : inFolder(id, folder);
}

function reasons({ because, compared }: Exemplar["against"][number]): Html {
  const rows = because.map(
    ({ measurement, by }) =>
      html`<tr class="apart"><th scope="row">${characteristicText(measurement)}</th><td class="number">${measuredText(by)}</td><td>differs</td></tr>`,
  );
  const differing = new Set(because.map(({ measurement }) => measurement));
  const others = compared
    .filter(({ characteristic }) => !differing.has(characteristic))
    .map(
      ({ characteristic, assessable, because: why, smallestDetectable }) =>
        html`<tr><th scope="row">${characteristicText(characteristic)}</th><td class="number">${sameText(assessable, smallestDetectable)}</td><td>${why}</td></tr>`,
    );
  return html`<table class="tight"><thead><tr><th scope="col">Compared</th><th scope="col" class="number">Group less exemplar</th><th scope="col">How, or why not</th></tr></thead><tbody>${rows}${others}</tbody></table>`;
}

/** What is said of a characteristic that does not differ. */
function sameText(
  assessable: boolean,
  smallest: Exemplar["against"][number]["compared"][number]["smallestDetectable"],
): string {
  if (!assessable) return "not assessable";
  return smallest.value === null || smallest.unit === "1" ? "the same" : `below ${sizeText(smallest)}`;
}

/** A group of the aligned pictures by its name in the document, which names the view where there are several. */
function groupNamed({ document, view }: LotReportView, group: string): string {
  return document.views.length > 1 && view !== null && !group.startsWith(`${view} `)
    ? `${view} ${group}`
    : group;
}
