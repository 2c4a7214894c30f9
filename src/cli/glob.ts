import { readdirSync, statSync } from "node:fs";
import { join } from "node:path";

/**
 * Files matching a pattern with `*`, `?`, `[..]` and `{a,b}` in any of its parts (`**` for any folders), for shells
 * that hand patterns on unexpanded. Folders are not returned.
 */
export function globSync(pattern: string): string[] {
  const absolute = pattern.startsWith("/");
  const parts = pattern.split("/").filter((p) => p !== "" && p !== ".");
  return walk(absolute ? "/" : "", parts);
}

function walk(folder: string, parts: readonly string[]): string[] {
  const [part, ...rest] = parts;
  if (part === undefined) return [];
  if (part === "**") {
    const inner = entries(folder)
      .filter((e) => e.folder)
      .flatMap((e) => walk(join(folder, e.name), parts));
    return [...walk(folder, rest), ...inner];
  }
  const matches = partPattern(part);
  return entries(folder)
    .filter((e) => matches.test(e.name) && (part.startsWith(".") || !e.name.startsWith(".")))
    .flatMap((e) => {
      const path = join(folder, e.name);
      if (rest.length) return e.folder ? walk(path, rest) : [];
      return e.folder ? [] : [path];
    });
}

function entries(folder: string): { name: string; folder: boolean }[] {
  try {
    return readdirSync(folder === "" ? "." : folder).map((name) => ({
      name,
      folder: statSync(join(folder, name), { throwIfNoEntry: false })?.isDirectory() ?? false,
    }));
  } catch {
    return [];
  }
}

function partPattern(part: string): RegExp {
  let text = "";
  let braces = 0;
  for (let i = 0; i < part.length; i++) {
    const c = part[i] as string;
    if (c === "*") text += "[^/]*";
    else if (c === "?") text += "[^/]";
    else if (c === "{") {
      braces++;
      text += "(?:";
    } else if (c === "}" && braces > 0) {
      braces--;
      text += ")";
    } else if (c === "," && braces > 0) text += "|";
    else if (c === "[" && part.indexOf("]", i) > i) {
      const end = part.indexOf("]", i);
      text += `[${part
        .slice(i + 1, end)
        .replace(/\\/g, "\\\\")
        .replace(/^!/, "^")}]`;
      i = end;
    } else text += c.replace(/[.+^$()|\\[\]{}]/g, "\\$&");
  }
  return new RegExp(`^${text}${")".repeat(braces)}$`);
}
