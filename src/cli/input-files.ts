import { readdirSync, statSync } from "node:fs";
import { join } from "node:path";
import { UsageError } from "./errors.ts";
import { globSync } from "./glob.ts";

/** Endings that pictures come with; other files of a folder (tables, notes, truth) are not its pictures. */
const pictureEndings = /\.(tiff?|png|jpe?g|dcm|dic|dicom|jp2|j2k|jpf|jls|bmp|gif|webp|raw|his|img)$/i;

/**
 * The files that INPUT means: files as named, the pictures of folders (not of folders inside them), globs.
 * In natural order within each input (tray_2 before tray_10), each file once.
 *
 * @throws UsageError when an input matches nothing
 */
export function inputFiles(inputs: readonly string[]): string[] {
  const files = inputs.flatMap((input) => {
    const stat = statSync(input, { throwIfNoEntry: false });
    if (stat?.isDirectory()) return folderPictures(input);
    if (stat) return [input];
    const found = /[*?[{]/.test(input) ? globSync(input) : [];
    if (!found.length) {
      throw new UsageError(
        `"${input}" is no file, folder or pattern with files; give pictures or a folder of them.`,
      );
    }
    return found.sort(naturally);
  });
  return [...new Set(files)];
}

function folderPictures(folder: string): string[] {
  const names = readdirSync(folder, { withFileTypes: true })
    .filter((entry) => !entry.isDirectory() && !entry.name.startsWith(".") && pictureEndings.test(entry.name))
    .map((entry) => entry.name);
  if (!names.length)
    throw new UsageError(`The folder "${folder}" holds no pictures (TIFF, PNG or JPEG by their endings).`);
  return names.sort(naturally).map((name) => join(folder, name));
}

/** Digit runs compare as numbers, all else by code unit: the same order on every machine. */
export function naturally(a: string, b: string): number {
  const split = (s: string) => s.split(/(\d+)/);
  const p = split(a);
  const q = split(b);
  for (let i = 0; i < Math.min(p.length, q.length); i++) {
    const x = p[i] as string;
    const y = q[i] as string;
    if (x === y) continue;
    const byNumber = i % 2 ? Number(x) - Number(y) : 0;
    return byNumber || (x < y ? -1 : 1);
  }
  return p.length - q.length;
}
