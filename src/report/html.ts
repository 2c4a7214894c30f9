import { printable } from "../contract/printable.ts";

/** A piece of finished markup. Only this module and constants of ours make one from text. */
export interface Html {
  readonly html: string;
}

type Value = Html | string | number | readonly Html[];

/** Markup from a template: every text or number put in is escaped, finished pieces go in as they are. */
export function html(strings: TemplateStringsArray, ...values: readonly Value[]): Html {
  let text = strings[0];
  values.forEach((value, at) => {
    text += pieceOf(value) + strings[at + 1];
  });
  return { html: text };
}

/** Markup written by us, taken as it is. Never for text from a file, a path or a person. */
export function markup(text: string): Html {
  return { html: text };
}

/** Nothing. */
export const noHtml: Html = { html: "" };

/** Text safe inside elements and quoted attributes; characters that act on the reader are shown, not obeyed. */
export function escapeHtml(text: string): string {
  return printable(text)
    .replaceAll("&", "&amp;")
    .replaceAll("<", "&lt;")
    .replaceAll(">", "&gt;")
    .replaceAll('"', "&quot;")
    .replaceAll("'", "&#39;");
}

function pieceOf(value: Value): string {
  if (typeof value === "string") return escapeHtml(value);
  if (typeof value === "number") return escapeHtml(String(value));
  if ("html" in value) return value.html;
  return value.map((piece) => piece.html).join("");
}
