import { percentText } from "../judgement/assurance.ts";
import { pullList, quarantineCaution } from "../judgement/pull-list.ts";
import type { Html } from "./html.ts";
import { html, noHtml } from "./html.ts";
import type { LotReportView } from "./lot-report-view.ts";

/** What is proposed next, and the steps recorded so far; null when there is neither. */
export function stepsSection(view: LotReportView): Html | null {
  const { next, steps, notInspected, remarks } = view.document;
  if (next.length + steps.length + remarks.length === 0) return null;
  const proposed = next.length === 0 ? noHtml : html`<ul>${next.map((text) => html`<li>${text}</li>`)}</ul>`;
  const rows = steps.map(
    ({ step, at, by, because, after, suspects }) =>
      html`<tr><th scope="row">${step}</th><td class="moment">${at}</td><td>${by ?? "not stated"}</td><td>${because}${after === null ? "" : ` Last picture: ${view.fileName(after)}.`}${suspects.length === 0 ? "" : ` Suspects: ${suspects.map(view.shortName).join(", ")}.`}</td></tr>`,
  );
  const record =
    rows.length === 0
      ? noHtml
      : html`<h3>Steps on record</h3><table class="steps"><thead><tr><th scope="col">Step</th><th scope="col">When</th><th scope="col">By</th><th scope="col">Because</th></tr></thead><tbody>${rows}</tbody></table>`;
  const left =
    notInspected.length === 0
      ? noHtml
      : html`<p><b>Not inspected:</b> ${notInspected.map(view.fileName).join(", ")}.</p>`;
  const said = remarks.length === 0 ? noHtml : html`<p class="quiet">${remarks.join(" ")}</p>`;
  return html`${proposed}${record}${left}${said}`;
}

/** The suspects as a list to work through at the tape or tray, a box to tick at each; null without suspects. */
export function pullListSection(view: LotReportView): Html | null {
  const entries = pullList(view.document.parts, view.document.suspects);
  if (entries.length === 0) return null;
  const named = entries.some(({ name }) => name !== null);
  const rows = entries.map(
    (entry) =>
      html`<tr><td><span class="box" role="img" aria-label="to tick"></span></td><td class="position">${entry.position ?? "not given"}</td><th scope="row" class="part">${view.fileName(entry.picture)}</th><td>${entry.numberInPicture} of ${entry.partsInPicture}<span class="doubt">x ${entry.centrePx[0]}, y ${entry.centrePx[1]} px</span></td><td>${entry.code ?? "none"}</td>${named ? html`<td>${entry.name ?? ""}</td>` : noHtml}<td>${entry.because}</td></tr>`,
  );
  return html`<p class="lead">Ordered by position. The number in the picture counts in reading order (left to right, top to bottom).</p><table class="pull-list"><thead><tr><th scope="col">Pulled</th><th scope="col">Position</th><th scope="col" class="part">Picture</th><th scope="col">In picture</th><th scope="col">Code</th>${named ? html`<th scope="col">Name</th>` : noHtml}<th scope="col">Reason</th></tr></thead><tbody>${rows}</tbody></table><p class="signed"><span class="line">Pulled by</span><span class="line">Date</span><span class="line">Counted: ${entries.length}</span></p><p><b>Quarantine.</b> ${quarantineCaution}</p>`;
}

/** What may remain in the lot at several confidences, with the assumptions; null where nothing is stated. */
export function boundsSection({ document }: LotReportView): Html | null {
  const { bounds, assurance, options, suspects, physicalParts } = document;
  if (bounds.length === 0) return null;
  const several = physicalParts.length > 0;
  const looked = several
    ? physicalParts.filter(({ views }) => views.every(({ assessable }) => assessable)).length
    : document.parts.filter(({ assessable }) => assessable).length;
  const found = several ? physicalParts.filter(({ suspect }) => suspect).length : suspects.length;
  const rows = bounds.map(
    ({ confidence, atMost, mayRemain, share }) =>
      html`<tr><th scope="row">${Math.round(confidence * 100)} %</th><td class="number">${options.quantity ?? ""}</td><td class="number">${looked}</td><td class="number">${found}</td><td class="number">${atMost}</td><td class="number">${mayRemain}</td><td class="number">${percentText(share)}</td></tr>`,
  );
  return html`<table class="bounds"><thead><tr><th scope="col">Confidence</th><th scope="col" class="number">In the lot</th><th scope="col" class="number">Judged</th><th scope="col" class="number">Suspect</th><th scope="col" class="number">At most in the lot</th><th scope="col" class="number">At most besides those</th><th scope="col" class="number">of the lot</th></tr></thead><tbody>${rows}</tbody></table><p class="quiet">${assurance}</p>`;
}

/** What to ask the maker, to be printed and sent; null where nothing is to be asked. */
export function questionsSection({ document }: LotReportView): Html | null {
  const { questions, job } = document;
  if (questions.length === 0) return null;
  const about = [
    job?.part && `Part ${job.part}`,
    job?.lot && `lot ${job.lot}`,
    job?.job && `our job ${job.job}`,
  ];
  const subject = about.filter(Boolean).join(", ");
  const head = subject === "" ? noHtml : html`<p>${subject}.</p>`;
  return html`<p class="lead">The split follows the codes: each group is consistent in itself, and only the maker can say whether both are theirs. Until then the result is conditional.</p>${head}<ol class="questions">${questions.map((text) => html`<li>${text}<span class="answer"></span></li>`)}</ol>`;
}

/** What each view says of each physical part; null where the lot was seen from one side. */
export function physicalPartsSection(view: LotReportView): Html | null {
  const { physicalParts, views } = view.document;
  if (physicalParts.length === 0) return null;
  const ordered = [...physicalParts].sort((a, b) => Number(b.suspect) - Number(a.suspect));
  const rows = ordered.map((part) => {
    const cells = views.map((name) => {
      const seen = part.views.filter((each) => each.view === name);
      const text = seen.map(
        ({ part: id, group, suspect, assessable }) =>
          html`<span class="call">${suspect ? html`<b class="flag">suspect</b> ` : noHtml}${assessable ? `group ${group ?? "none"}` : "not judged"}, ${view.shortName(id)}</span>`,
      );
      return html`<td>${seen.length === 0 ? "not seen" : text}</td>`;
    });
    return html`<tr><th scope="row">${part.name}</th><td>${part.suspect ? html`<b class="flag">suspect</b>` : "nothing found"}</td>${cells}</tr>`;
  });
  return html`<p class="lead">Each view is compared within itself, top with top and side with side. A part that is suspect in either view is suspect.</p><table><thead><tr><th scope="col">Part</th><th scope="col">Together</th>${views.map((name) => html`<th scope="col">Seen from ${name}</th>`)}</tr></thead><tbody>${rows}</tbody></table>`;
}
