import type { LotDocument } from "../contract/lot-document.ts";
import type { LotAligned } from "../inspections/lot/result.ts";
import { contactSheet } from "./contact-sheet.ts";
import { exemplarFigures, exemplarTable } from "./exemplar-section.ts";
import type { Html } from "./html.ts";
import { html, markup } from "./html.ts";
import type { LotReportAbout } from "./lot-conclusion.ts";
import { comparedTable, conclusionPanel, factsBlock, suspectSummary } from "./lot-conclusion.ts";
import {
  cautionList,
  filesRecord,
  methodNotes,
  notAssessable,
  portionsRecord,
  signatures,
} from "./lot-records.ts";
import type { LotReportView } from "./lot-report-view.ts";
import { lotReportView } from "./lot-report-view.ts";
import {
  boundsSection,
  physicalPartsSection,
  pullListSection,
  questionsSection,
  stepsSection,
} from "./lot-work.ts";
import { measurementsTable } from "./measurements-table.ts";
import type { EncodePng } from "./picture-figure.ts";
import { reportStyle } from "./report-style.ts";
import { groupAverages, overlayLegend, suspectDetails } from "./suspect-details.ts";

/** The aligned pictures of one view; `view` null where the lot was seen from one side and none was named. */
export interface AlignedView {
  readonly view: string | null;
  readonly aligned: LotAligned;
}

/** What a lot report is made from. */
export interface LotReportParts {
  readonly document: LotDocument;
  readonly aligned: readonly AlignedView[];
  /** As printed: ISO 8601 with zone. */
  readonly generatedAt: string;
  readonly encodePng: EncodePng;
  readonly about?: LotReportAbout;
}

/**
 * The report of a lot as one HTML file: no script, no request, pictures inside, made for reading and for A4.
 *
 * @returns the text of the file, UTF-8
 * @see docs/methods/lot-report.md
 */
export function lotReport({ document, aligned, generatedAt, encodePng, about = {} }: LotReportParts): string {
  const view = lotReportView(document, aligned[0].aligned, encodePng);
  const several = aligned.length > 1;
  const views = several
    ? aligned.map((each) => ({ ...each, drawn: lotReportView(document, each.aligned, encodePng, each.view) }))
    : [{ ...aligned[0], drawn: view }];
  const inEach = (draw: (drawn: LotReportView, aligned: LotAligned) => Html): Html =>
    several
      ? html`${views.map((each) => html`<h3 class="side">Seen from ${each.view ?? "one side"}</h3>${draw(each.drawn, each.aligned)}`)}`
      : draw(view, aligned[0].aligned);
  const title = about.sample === undefined ? "Radiographs of a lot" : `Radiographs of a lot: ${about.sample}`;
  const exemplars = exemplarTable(view);
  const sections: [string, Html | null][] = [
    ["Next steps", stepsSection(view)],
    ["Suspect parts", suspectSummary(view)],
    ["Pull list", pullListSection(view)],
    ["What may remain in the lot", boundsSection(view)],
    ["Questions for the maker", questionsSection(view)],
    ["Parts seen in several views", physicalPartsSection(view)],
    ["What was compared, and the smallest difference it could find", comparedTable(view)],
    [
      "Exemplars",
      exemplars && html`${exemplars}${inEach((drawn, pictures) => exemplarFigures(drawn, pictures))}`,
    ],
    ["Contact sheet", inEach(contactSheet)],
    ["Suspect parts in detail", html`${overlayLegend}${inEach(suspectDetails)}`],
    ["Groups", html`${overlayLegend}${inEach(groupAverages)}`],
    ["Measurements of all parts", inEach(measurementsTable)],
    ["Not assessable", notAssessable(view)],
    ["Portions", portionsRecord(view)],
    ["Files", filesRecord(view)],
    ["Method and limits", methodNotes(view)],
    ["Cautions", cautionList()],
  ];
  const shown = sections.flatMap(([heading, content]) => (content === null ? [] : [{ heading, content }]));
  const body = shown.map(
    ({ heading, content }, at) =>
      html`<section><h2><span class="ordinal">${at + 1}</span> ${heading}</h2>${content}</section>`,
  );
  return html`${markup("<!doctype html>")}
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; img-src data:; style-src 'unsafe-inline'">
<title>${title}</title><style>${markup(reportStyle)}</style></head>
<body><main><header><p class="overline">Inspection report</p><h1>Radiographs of a lot</h1></header>
${conclusionPanel(view)}${factsBlock(view, about, generatedAt)}${body}${signatures()}
<footer>${generatedAt} · method ${document.method.id} ${document.method.version} · ${document.schema}</footer></main></body></html>
`.html;
}
