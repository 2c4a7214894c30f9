import { cautionsFor, limitOfRadiograph } from "../judgement/cautions.ts";
import { characteristicText } from "../judgement/measured-text.ts";
import type { Html } from "./html.ts";
import { html, noHtml } from "./html.ts";
import type { LotReportView } from "./lot-report-view.ts";

/** What could not be judged, and why: parts, then characteristics. */
export function notAssessable(view: LotReportView): Html {
  const parts = view.ordered.filter(({ assessable }) => !assessable);
  const partRows = parts.map(
    ({ id, because }) =>
      html`<tr><th scope="row" class="part">part ${view.shortName(id)}</th><td>${because ?? "no reason recorded"}</td></tr>`,
  );
  const compared = view.document.compared.filter(({ assessable }) => !assessable);
  const comparedRows = compared.map(
    ({ characteristic, because }) =>
      html`<tr><th scope="row">${characteristicText(characteristic)}, all parts</th><td>${because}</td></tr>`,
  );
  if (parts.length + compared.length === 0)
    return html`<p>Every part found and every characteristic named above could be judged.</p>`;
  return html`<table><thead><tr><th scope="col">What</th><th scope="col">Why not</th></tr></thead><tbody>${partRows}${comparedRows}</tbody></table>`;
}

/** Files: unreadable, left out, and read, with the hash of the bytes. */
export function filesRecord(view: LotReportView): Html {
  const { pictures, exemplarPictures, unreadable, ignored } = view.document;
  const reasons = (
    rows: readonly { readonly picture: string; readonly why: string }[],
    title: string,
    empty: string,
  ) =>
    rows.length === 0
      ? html`<p>${empty}</p>`
      : html`<h3>${title}</h3><table><thead><tr><th scope="col">File</th><th scope="col">Reason</th></tr></thead><tbody>${rows.map(({ picture, why }) => html`<tr><th scope="row" class="part">${view.fileName(picture)}</th><td>${why}</td></tr>`)}</tbody></table>`;
  const row = (pictures: typeof exemplarPictures) =>
    pictures.map(
      ({ picture, width, height, polarity, scale, lossy, notes, sha256 }) =>
        html`<tr><th scope="row" class="part">${view.fileName(picture)}<span class="hash">${sha256}</span></th><td class="number">${width} × ${height}</td><td>${polarity.replaceAll("-", " ")}</td><td class="number">${scale.umPerPx === null ? "none" : `${scale.umPerPx}${scale.U === null ? "" : ` ± ${scale.U}`}`}</td><td>${[...(lossy ? ["lossy coding: sizes from it are weaker"] : []), ...notes].join("; ")}</td></tr>`,
    );
  return html`${reasons(
    unreadable.map(({ picture, reason }) => ({ picture, why: reason })),
    "Unreadable",
    "Every file could be read.",
  )}${reasons(
    ignored.map(({ picture, because }) => ({ picture, why: because })),
    "Left out on purpose",
    "No file was left out.",
  )}<h3>Read, with SHA-256 of the bytes</h3><table><thead><tr><th scope="col">Picture and hash</th><th scope="col" class="number">Size, px</th><th scope="col">Polarity</th><th scope="col" class="number">µm per px</th><th scope="col">Notes</th></tr></thead><tbody>${row(pictures)}</tbody>${exemplarPictures.length === 0 ? noHtml : html`<tbody><tr><th colspan="5" scope="rowgroup">Exemplars</th></tr>${row(exemplarPictures)}</tbody>`}</table>`;
}

/** The portions in which a lot was inspected that was too large to be compared at once; null for one go. */
export function portionsRecord(view: LotReportView): Html | null {
  const { portions } = view.document;
  if (portions.length === 0) return null;
  const rows = portions.map(
    ({ pictures, parts, says }, at) =>
      html`<tr><th scope="row">${at + 1}</th><td class="part">${view.fileName(pictures[0] ?? "none")} to ${view.fileName(pictures.at(-1) ?? "none")}</td><td class="number">${parts}</td><td>${says}</td></tr>`,
  );
  return html`<p class="lead">Within a portion every part was compared with every other; typical parts of every construction found were compared with each group of the later portions.</p><table><thead><tr><th scope="col">Portion</th><th scope="col" class="part">Pictures</th><th scope="col" class="number">Parts</th><th scope="col">What it holds</th></tr></thead><tbody>${rows}</tbody></table>`;
}

/** Method, options as recorded, what the figures mean, and the limits. */
export function methodNotes({ document }: LotReportView): Html {
  const options = Object.entries(document.options).map(
    ([name, value]) =>
      html`<div><dt>${characteristicText(name)}</dt><dd>${value === null ? "not given" : JSON.stringify(value)}</dd></div>`,
  );
  return html`<p>Method ${document.method.id}, version ${document.method.version}. The same bytes, method version and options give the same numbers; the JSON document ${document.schema} of this run holds them all.</p><dl class="facts">${options}</dl><ul>
<li>Parts are found, brought onto one reference part over all turns and mirror images, and compared in attenuation. Uniform scale is absorbed and stated as a part's size.</li>
<li>U is the expanded uncertainty, k = 2. A group's median carries the larger of twice its robust spread and the parts' own U. Where a number is missing, its place says why.</li>
<li>A part's distance from its group is given in multiples of the limit at which a call is made.</li>
<li>Pictures in this report are resampled and windowed for reading; nothing is measured on them. The originals are the files named by hash.</li>
<li>Silicon is nearly transparent: the edge seen as the die may be that of its attach. Thin aluminium wires may not show: then the wires are not assessable, not absent.</li>
<li>The result applies to the parts inspected. A part that cannot be told from its group may still be another part inside.</li></ul>
<p><b>${limitOfRadiograph}</b></p>`;
}

/** The usual cautions. */
export function cautionList(): Html {
  return html`<dl class="cautions">${cautionsFor("parts").map(({ about, says }) => html`<div><dt>${about}</dt><dd>${says}</dd></div>`)}</dl><p class="quiet">These reminders replace neither local codes nor licensed practice.</p>`;
}

/** Lines to be signed by hand. */
export function signatures(): Html {
  const line = (role: string) =>
    html`<div><span class="role">${role}</span><span class="line">Name, level</span><span class="line">Date</span><span class="line">Signature</span></div>`;
  return html`<section class="signatures" aria-label="Signatures">${line("Judged by")}${line("Reviewed by")}${noHtml}</section>`;
}
