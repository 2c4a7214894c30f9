import { counted } from "../judgement/in-words.ts";
import { conclusionTitle, identityText } from "../judgement/lot-wording.ts";
import { characteristicText, sizeText } from "../judgement/measured-text.ts";
import type { Html } from "./html.ts";
import { html, noHtml } from "./html.ts";
import { jobFacts, jobWarnings, personText, sampleText, techniqueText } from "./lot-job.ts";
import type { LotReportView } from "./lot-report-view.ts";
import { callKindText } from "./lot-words.ts";

/** Calls of one part in the table of suspects; its details show all. */
const mostCalls = 5;

/** What only the person who asks for the report knows. */
export interface LotReportAbout {
  /** "Lot 0000, 45 of 3000, drawn at random". */
  readonly sample?: string;
  readonly requestedBy?: string;
  readonly inspectedBy?: string;
  /** kV, µA, filter, distances, frames. */
  readonly technique?: string;
}

/** The headline: conclusion, reason, what may remain. */
export function conclusionPanel({ document }: LotReportView): Html {
  const { conclusion, suspects, lotSuspect, says, assurance, identity } = document;
  const objected = conclusion === "mixed" || suspects.length > 0 || lotSuspect.value;
  const tone = conclusion === "not-assessable" ? "open" : objected ? "objected" : "clear";
  const flag = lotSuspect.value ? html`<b>The lot is suspect.</b> ` : noHtml;
  const split = lotSuspect.value || document.groups.length > 1;
  const lot = split ? html`<p>${flag}${lotSuspect.because}</p>` : noHtml;
  return html`<section class="conclusion ${tone}" aria-label="Conclusion"><p class="overline">Conclusion</p><p class="headline">${conclusionTitle(conclusion, suspects.length, document.questions.length > 0)}</p><p class="says">${says}</p>${lot}<p>${assurance}</p><p class="quiet">Exemplar: ${identityText(identity)}. This is an opinion on the parts inspected, by the method and options stated here.</p></section>`;
}

/** Who, what, when, how: the head of a report a lab would sign. */
export function factsBlock(view: LotReportView, about: LotReportAbout, generatedAt: string): Html {
  const { document } = view;
  const judged = document.parts.filter(({ assessable }) => assessable).length;
  const { pictures, unreadable, ignored, job } = document;
  const stated = (text: string | undefined) => text ?? "not stated";
  const facts: [string, string][] = [
    ...jobFacts(document),
    ["Sample", stated(about.sample ?? sampleText(job))],
    ["Requested by", stated(about.requestedBy ?? job?.requestedBy)],
    ["Inspected by", stated(about.inspectedBy ?? personText(job?.examiner))],
    ["Report made", generatedAt],
    ...(job?.reviewer ? [["Reviewed by", personText(job.reviewer)] as [string, string]] : []),
    ["Parts", `${document.parts.length} found, ${judged} judged, ${document.suspects.length} suspect`],
    [
      "Files",
      `${counted(pictures.length, "picture")} read, ${unreadable.length} unreadable, ${ignored.length} left out on purpose`,
    ],
    ["Folder", view.folder === "" ? "as listed" : view.folder],
    ...(view.leftOut === "" ? [] : [["Names begin", `${view.leftOut} (left out below)`] as [string, string]]),
    ["Lot quantity", document.options.quantity === null ? "not stated" : String(document.options.quantity)],
    ["Technique", stated(about.technique ?? techniqueText(job))],
    ["Scale", scaleText(view)],
    ["Method", `${document.method.id} ${document.method.version}`],
    ["Document", `${document.schema}, started ${document.run.startedAt}`],
  ];
  return html`${jobWarnings(document)}<dl class="facts">${facts.map(([term, text]) => html`<div><dt>${term}</dt><dd>${text}</dd></div>`)}</dl>`;
}

/** The suspects at a glance. */
export function suspectSummary(view: LotReportView): Html {
  const suspects = view.ordered.filter(({ suspect }) => suspect).sort((a, b) => b.oddness - a.oddness);
  if (suspects.length === 0) return html`<p>No part is named suspect.</p>`;
  const coded = view.ordered.some(({ code }) => code !== null);
  const placed = view.ordered.some(({ position }) => position !== null);
  const column = (shown: boolean, cell: Html) => (shown ? cell : noHtml);
  const rows = suspects.map(
    (part) =>
      html`<tr><th scope="row" class="part">${view.shortName(part.id)}</th>${column(coded, html`<td>${part.code ?? "none"}</td>`)}${column(placed, html`<td>${part.position ?? "none"}</td>`)}<td>${part.group ?? "none"}</td><td class="number">${part.oddness.toFixed(2)}</td><td>${callsText(part.calls)}</td></tr>`,
  );
  return html`<table><thead><tr><th scope="col" class="part">Part</th>${column(coded, html`<th scope="col">Code</th>`)}${column(placed, html`<th scope="col">Position</th>`)}<th scope="col">Group</th><th scope="col" class="number">× limit</th><th scope="col">Because</th></tr></thead><tbody>${rows}</tbody></table>`;
}

/** What was compared and the smallest difference it could find. */
export function comparedTable({ document }: LotReportView): Html {
  if (document.compared.length === 0) return html`<p>Nothing was compared.</p>`;
  const rows = document.compared.map(({ characteristic, assessable, because, smallestDetectable }) => {
    const smallest = assessable ? html`${sizeText(smallestDetectable)}` : html`<b>not assessable</b>`;
    return html`<tr><th scope="row">${characteristicText(characteristic)}</th><td class="number">${smallest}</td><td>${because}</td></tr>`;
  });
  return html`<table><thead><tr><th scope="col">Characteristic</th><th scope="col" class="number">Smallest difference</th><th scope="col">How, or why not</th></tr></thead><tbody>${rows}</tbody></table>`;
}

function callsText(calls: LotReportView["ordered"][number]["calls"]): Html {
  if (calls.length === 0) return html`belongs to a minority group`;
  const left = calls.length - mostCalls;
  const more = left > 0 ? html`<span class="call quiet">and ${left} more, in detail below</span>` : noHtml;
  return html`${calls.slice(0, mostCalls).map(({ kind, says }) => html`<span class="call"><b>${callKindText(kind)}:</b> ${says}</span> `)}${more}`;
}

function scaleText({ document }: LotReportView): string {
  const known = document.pictures.filter(({ scale }) => scale.umPerPx !== null);
  if (known.length === 0) {
    const { bodyMm } = document.options;
    if (bodyMm === null) return "none: lengths are in pixels, ratios hold";
    return `part by part, from the body size given: ${bodyMm.join(" x ")} mm`;
  }
  const origins = [...new Set(known.map(({ scale }) => scale.origin.replaceAll("-", " ")))].join(", ");
  const typed = known.some(({ scale }) => scale.U === null) ? "; scale uncertainty not included" : "";
  const missing =
    known.length < document.pictures.length ? `; none for ${document.pictures.length - known.length}` : "";
  return `from ${origins}${typed}${missing}`;
}
