/** A column of a terminal table. */
export interface TextColumn {
  readonly title: string;
  readonly align?: "left" | "right";
  /** The column that gives way and wraps when the line is too long; at most one. */
  readonly wraps?: boolean;
}

const gap = "  ";

/**
 * A plain text table: a head, then one row a record, columns two spaces apart.
 *
 * @param rows cells by column; already safe for a terminal
 * @param columns width of the terminal; the wrapping column never falls below 20
 * @param headStyle applied to the whole head line (a colour, or nothing)
 */
export function textTable(
  heads: readonly TextColumn[],
  rows: readonly (readonly string[])[],
  columns: number,
  headStyle: (text: string) => string = (text) => text,
): string {
  const widths = heads.map(({ title }, at) =>
    Math.max(widthOf(title), ...rows.map((row) => widthOf(row[at] ?? ""))),
  );
  const wrapping = heads.findIndex(({ wraps }) => wraps === true);
  if (wrapping >= 0) {
    const others = widths.reduce((sum, width, at) => (at === wrapping ? sum : sum + width + gap.length), 0);
    widths[wrapping] = Math.min(widths[wrapping], Math.max(20, columns - others));
  }
  const titles = lineOf(
    heads,
    widths,
    heads.map(({ title }) => title),
  );
  const lines = rows.flatMap((row) => {
    const wrapped = row.map((cell, at) => (at === wrapping ? wrapText(cell, widths[at]) : [cell]));
    const height = Math.max(...wrapped.map((cell) => cell.length));
    return Array.from({ length: height }, (_, line) =>
      lineOf(
        heads,
        widths,
        wrapped.map((cell) => cell[line] ?? ""),
      ),
    );
  });
  return [headStyle(titles), ...lines].join("\n");
}

/** Breaks text at spaces so that no line is longer than `width`; a longer word is cut. */
export function wrapText(text: string, width: number): string[] {
  const lines: string[] = [];
  let line = "";
  for (const word of text.split(" ")) {
    let rest = word;
    if (line !== "" && widthOf(line) + 1 + widthOf(rest) > width) {
      lines.push(line);
      line = "";
    }
    while (widthOf(rest) > width) {
      const characters = [...rest];
      lines.push(characters.slice(0, width).join(""));
      rest = characters.slice(width).join("");
    }
    line = line === "" ? rest : `${line} ${rest}`;
  }
  lines.push(line);
  return lines;
}

function lineOf(heads: readonly TextColumn[], widths: readonly number[], cells: readonly string[]): string {
  return heads
    .map(({ align }, at) => {
      const cell = cells[at] ?? "";
      const pad = " ".repeat(Math.max(0, widths[at] - widthOf(cell)));
      return align === "right" ? pad + cell : cell + pad;
    })
    .join(gap)
    .trimEnd();
}

function widthOf(text: string): number {
  return [...text].length;
}
