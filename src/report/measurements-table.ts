import type { GroupMeasurement } from "../judgement/group-measurements.ts";
import { differenceFromGroup, groupMeasurement } from "../judgement/group-measurements.ts";
import { characteristicText, noNumberText, roundByDoubt, unitText } from "../judgement/measured-text.ts";
import type { Measured } from "../units/measured.ts";
import type { Html } from "./html.ts";
import { html, noHtml } from "./html.ts";
import type { LotReportView } from "./lot-report-view.ts";

/** All parts, all measurements, each with its U below; values apart from the largest group are marked in words' place by ◆. */
export function measurementsTable(view: LotReportView): Html {
  const { ordered, document, mainGroup } = view;
  const names = [...new Set(ordered.flatMap(({ measurements }) => Object.keys(measurements)))];
  const columns = names.filter((name) =>
    ordered.some(({ measurements }) => measurements[name]?.value != null),
  );
  const without = names.filter((name) => !columns.includes(name));
  const main = document.parts.filter(({ group, assessable }) => assessable && group === mainGroup);
  const groups = new Map(
    columns.map((name) => [
      name,
      groupMeasurement(main.flatMap(({ measurements }) => measurements[name] ?? [])),
    ]),
  );
  const rows = ordered.map((part) => {
    const head = html`<th scope="row" class="part">${view.shortName(part.id)}${part.suspect ? html` <b class="flag">suspect</b>` : noHtml}</th><td>${part.group ?? "none"}</td>`;
    const empty = columns.every((name) => part.measurements[name]?.value == null);
    if (empty)
      return html`<tr>${head}<td class="why" colspan="${Math.max(1, columns.length)}">not measured: ${part.because ?? "no reason recorded"}</td></tr>`;
    return html`<tr>${head}${columns.map((name) => cell(part.measurements[name], groups.get(name)))}</tr>`;
  });
  const heads = columns.map(
    (name) =>
      html`<th scope="col" class="number">${characteristicText(name)} <span class="unit">${unitOf(view, name)}</span></th>`,
  );
  const missing =
    without.length === 0
      ? noHtml
      : html`<p>Without a number for any part: ${without.map((name) => `${characteristicText(name)} (${reasonOf(view, name)})`).join(", ")}.</p>`;
  return html`<p class="lead">Value with the expanded uncertainty U (k = 2) below it. ◆ marks a value apart from the median of group ${mainGroup ?? "none"} by more than both doubts together; a mark alone is no finding, since among many values some lie out by chance.</p><div class="scroll" tabindex="0" role="region" aria-label="Measurements of all parts"><table class="measurements"><thead><tr><th scope="col" class="part">Part</th><th scope="col">Group</th>${heads}</tr></thead><tbody>${rows}</tbody></table></div>${missing}`;
}

function cell(measured: Measured | undefined, group: GroupMeasurement | undefined): Html {
  if (measured === undefined) return html`<td class="why">none</td>`;
  if (measured.value === null) return html`<td class="why">${noNumberText(measured.because)}</td>`;
  const { value, U, decimals } = roundByDoubt(measured.value, measured.U);
  const shown = Math.max(0, decimals);
  const apart = group !== undefined && differenceFromGroup(measured, group)?.outside === true;
  const doubt = U === 0 ? noHtml : html`<span class="doubt">±${U.toFixed(shown)}</span>`;
  return html`<td class="number${apart ? " apart" : ""}">${apart ? "◆ " : ""}${value.toFixed(shown)}${doubt}</td>`;
}

function unitOf({ ordered }: LotReportView, name: string): string {
  const units = new Set(
    ordered.flatMap(({ measurements }) =>
      measurements[name]?.value == null ? [] : unitText(measurements[name].unit),
    ),
  );
  return units.size > 1 ? "units differ" : ([...units][0] ?? "");
}

function reasonOf({ ordered }: LotReportView, name: string): string {
  const measured = ordered
    .map(({ measurements }) => measurements[name])
    .find((value) => value?.value === null);
  return measured?.value === null ? noNumberText(measured.because) : "not assessed";
}
