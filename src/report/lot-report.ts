import type { LotDocument } from "../contract/lot-document.ts";
import type { LotAligned } from "../inspections/lot/result.ts";
import { contactSheet } from "./contact-sheet.ts";
import type { Html } from "./html.ts";
import { html, markup } from "./html.ts";
import type { LotReportAbout } from "./lot-conclusion.ts";
import { comparedTable, conclusionPanel, factsBlock, suspectSummary } from "./lot-conclusion.ts";
import { cautionList, filesRecord, methodNotes, notAssessable, signatures } from "./lot-records.ts";
import { lotReportView } from "./lot-report-view.ts";
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
  const title = about.sample === undefined ? "Radiographs of a lot" : `Radiographs of a lot: ${about.sample}`;
  const sections: [string, Html][] = [
    ["Suspect parts", suspectSummary(view)],
    ["What was compared, and the smallest difference it could find", comparedTable(view)],
    ["Contact sheet", contactSheet(view)],
    ["Suspect parts in detail", html`${overlayLegend}${suspectDetails(view)}`],
    ["Groups", html`${overlayLegend}${groupAverages(view)}`],
    ["Measurements of all parts", measurementsTable(view)],
    ["Not assessable", notAssessable(view)],
    ["Files", filesRecord(view)],
    ["Method and limits", methodNotes(view)],
    ["Cautions", cautionList()],
  ];
  const body = sections.map(
    ([heading, content], at) =>
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
