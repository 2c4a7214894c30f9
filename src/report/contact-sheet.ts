import type { LotDocumentPart } from "../contract/lot-document.ts";
import { counted } from "../judgement/in-words.ts";
import { greyPicture, shrinkTo } from "./display-picture.ts";
import type { Html } from "./html.ts";
import { html, noHtml } from "./html.ts";
import type { LotReportView } from "./lot-report-view.ts";
import { marksOf } from "./lot-report-view.ts";
import { callKindText } from "./lot-words.ts";
import { pictureFigure, pictureLayer } from "./picture-figure.ts";

/** Widest thumbnail, and the pixels that all thumbnails together may take (so that the file stays small). */
const widestPx = 220;
const pixelBudget = 60 * 220 * 220;
const narrowestPx = 96;

/** Every aligned part, by group, the oddest first, all in one display window; suspects boxed and named. */
export function contactSheet(view: LotReportView): Html {
  const shown = view.ordered.filter(({ id }) => view.alignedById.has(id));
  if (shown.length === 0) return html`<p>No part could be aligned, so there is no contact sheet.</p>`;
  const ratio = view.height / view.width;
  const widthPx = Math.min(
    widestPx,
    Math.max(narrowestPx, Math.floor(Math.sqrt(pixelBudget / shown.length / ratio))),
  );
  const most = Math.max(1, Math.floor(pixelBudget / (widthPx * widthPx * ratio)));
  const drawn = shown
    .slice()
    .sort((a, b) => Number(b.suspect) - Number(a.suspect) || b.oddness - a.oddness)
    .slice(0, most);
  const isDrawn = new Set(drawn.map(({ id }) => id));
  const groups = view.groupOrder.map((name) => {
    const parts = shown.filter((part) => part.group === name && isDrawn.has(part.id));
    const size = view.ordered.filter(({ group }) => group === name).length;
    return html`<h3>Group ${name} <span class="quiet">${counted(size, "part")}</span></h3><ol class="sheet">${parts.map((part) => card(view, part, widthPx))}</ol>`;
  });
  const missing = view.ordered.filter(({ id }) => !view.alignedById.has(id));
  // Of a lot in portions only some pictures are kept.
  const notKept = missing.filter(({ group }) => group !== null).length;
  const left = shown.length - drawn.length + notKept;
  const note =
    left > 0
      ? html`<p>${left} parts with nothing called are left out of the sheet to keep the file small; the table of measurements lists them.</p>`
      : noHtml;
  const notAligned = missing.filter(({ group }) => group === null);
  const absent =
    notAligned.length === 0
      ? noHtml
      : html`<p>Not on the sheet, because not aligned: ${notAligned.map(({ id }) => view.shortName(id)).join(", ")}.</p>`;
  const { low, high } = view.window;
  return html`<p class="lead">All pictures are turned and scaled onto one frame and shown in one fixed window (attenuation ${low.toFixed(2)} white to ${high.toFixed(2)} black; denser is darker). Groups of suspects come first, then the oddest of each group.</p>${groups}${note}${absent}`;
}

function card(view: LotReportView, part: LotDocumentPart, widthPx: number): Html {
  const aligned = view.alignedById.get(part.id);
  if (aligned === undefined) return noHtml;
  const name = view.shortName(part.id);
  const kinds = [...new Set(part.calls.map(({ kind }) => callKindText(kind)))].join(", ");
  const picture = pictureFigure({
    width: view.width,
    height: view.height,
    label: `${name}, group ${part.group ?? "none"}${part.suspect ? `, suspect: ${kinds}` : ""}`,
    layers: [
      pictureLayer(
        greyPicture(shrinkTo(aligned.attenuation, widthPx), view.window),
        view.encodePng,
        view.width,
        view.height,
      ),
    ],
    marks: marksOf(view, part, false),
  });
  const verdict = part.suspect
    ? html`<span class="verdict"><b>Suspect</b> ${kinds === "" ? "minority group" : kinds}</span>`
    : kinds === ""
      ? noHtml
      : html`<span class="verdict">Called: ${kinds}</span>`;
  return html`<li class="card${part.suspect ? " suspect" : ""}">${picture}<span class="name">${name}</span>${verdict}<span class="quiet">${part.oddness.toFixed(2)} × limit${poseText(part)}</span></li>`;
}

function poseText({ pose }: LotDocumentPart): string {
  const turn = Math.round(pose.turn);
  const ambiguous = pose.ambiguousWith.length > 0 ? ", pose ambiguous" : "";
  return `${turn === 0 ? "" : `, turned ${turn}°`}${pose.mirrored ? ", mirrored" : ""}${ambiguous}`;
}
