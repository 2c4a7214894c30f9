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

/** `name` without the folder, when it lies in it. */
export function inFolder(name: string, folder: string): string {
  return name.startsWith(folder) ? name.slice(folder.length) : name;
}
