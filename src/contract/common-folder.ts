const worthLeavingOut = 12;

/** The folder that all names lie in, with its closing slash, or an empty text when there is none. */
export function commonFolder(names: readonly string[]): string {
  if (names.length < 2) return "";
  const folderOf = (name: string) =>
    name.slice(0, Math.max(name.lastIndexOf("/"), name.lastIndexOf("\\")) + 1);
  let common = folderOf(names[0]);
  for (const name of names) {
    while (!name.startsWith(common)) common = folderOf(common.slice(0, -1));
  }
  return common;
}

/**
 * What all names begin with, up to a separator (slash, underscore, hyphen, space), when leaving it out
 * makes them much shorter; else the folder they lie in.
 */
export function commonStart(names: readonly string[]): string {
  const folder = commonFolder(names);
  if (names.length < 2) return folder;
  let shared = names[0].length;
  for (const name of names) {
    let at = 0;
    while (at < shared && name[at] === names[0][at]) at++;
    shared = at;
  }
  const start = names[0].slice(0, shared).replace(/[^/\\_\- ]*$/, "");
  return start.length - folder.length >= worthLeavingOut ? start : folder;
}

/** `name` without the folder, when it lies in it. */
export function inFolder(name: string, folder: string): string {
  return name.startsWith(folder) ? name.slice(folder.length) : name;
}
