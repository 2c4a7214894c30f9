/** A picture to judge, with the frames that correct it. Empty lists: taken as already corrected. */
export interface PairedPicture {
  readonly picture: string;
  readonly flats: readonly string[];
  readonly darks: readonly string[];
}

export interface CalibrationPairing {
  readonly pictures: readonly PairedPicture[];
  /** Files left out on purpose, each with its reason, in the order given. */
  readonly ignored: readonly { readonly picture: string; readonly because: string }[];
}

/** Frames a person named: they correct every picture. */
export interface ExplicitFrames {
  readonly flats?: readonly string[];
  readonly darks?: readonly string[];
}

interface Named {
  readonly path: string;
  /** Folder and name without ending, and without a role. */
  readonly base: string;
  readonly folder: string;
  readonly role: "raw" | "flat" | "dark" | "none";
}

const BESIDE = /^(.+)[_\-. ](raw|flat|dark)$/i;
const OF_FOLDER = /^(flat|ob|open[_-]?beam|dark|dc|dark[_-]?current)(?:[_-]?(\d{1,4}))?$/i;

/**
 * Decides from names alone which files are flat and dark frames and which pictures they correct.
 *
 * 1. Frames a person named correct every picture; frames found by name are then left out.
 * 2. `NAME_raw` is corrected by `NAME_flat` and `NAME_dark` beside it. When the corrected `NAME` is
 *    there too, it is used and the raw picture is a duplicate. Without a `NAME_raw`, a `NAME_flat`
 *    is left out and `NAME` taken as it is: nothing says that it still needs correction.
 * 3. `flat`, `ob`, `open_beam`, `dark`, `dc`, `dark_current`, alone or numbered without gaps from 0
 *    or 1, correct all other pictures of their folder that rule 2 left alone. Several are averaged.
 *    In a folder with nothing else they are pictures. Frames with other numbers (`flat_050`) are
 *    pictures too.
 *
 * @param paths files in the order they are to be judged
 * @returns pictures in the order given
 * @see docs/methods/attenuation.md
 */
export function pairCalibrationFrames(
  paths: readonly string[],
  explicit: ExplicitFrames = {},
): CalibrationPairing {
  const flats = explicit.flats ?? [];
  const darks = explicit.darks ?? [];
  const named = new Set([...flats, ...darks]);
  const files = paths.filter((path) => !named.has(path)).map(readName);
  const reasons = new Map<string, string>();
  const frames = new Map<string, { flats: readonly string[]; darks: readonly string[] }>();
  pairBeside(files, reasons, frames);
  pairFolders(files, reasons, frames);

  if (named.size > 0) {
    for (const path of named) {
      if (paths.includes(path))
        reasons.set(path, `${flats.includes(path) ? "flat" : "dark"} frame named for all pictures`);
    }
  }
  const ignored = paths.flatMap((path) => {
    const because = reasons.get(path);
    return because === undefined ? [] : [{ picture: path, because }];
  });
  const pictures = paths
    .filter((path) => !reasons.has(path) && !named.has(path))
    .map((picture) => {
      if (named.size > 0) return { picture, flats, darks };
      const own = frames.get(picture);
      return { picture, flats: own?.flats ?? [], darks: own?.darks ?? [] };
    });
  return { pictures, ignored };
}

function readName(path: string): Named {
  const cut = Math.max(path.lastIndexOf("/"), path.lastIndexOf("\\"));
  const folder = path.slice(0, cut + 1);
  const file = path.slice(cut + 1);
  const dot = file.lastIndexOf(".");
  const stem = dot > 0 ? file.slice(0, dot) : file;
  const match = BESIDE.exec(stem);
  if (match === null) return { path, folder, base: folder + stem, role: "none" };
  return { path, folder, base: folder + match[1], role: match[2].toLowerCase() as Named["role"] };
}

type Reasons = Map<string, string>;
type Frames = Map<string, { flats: readonly string[]; darks: readonly string[] }>;

function pairBeside(files: readonly Named[], reasons: Reasons, frames: Frames): void {
  const groups = new Map<string, Named[]>();
  for (const file of files) {
    const group = groups.get(file.base);
    if (group === undefined) groups.set(file.base, [file]);
    else group.push(file);
  }
  for (const group of groups.values()) {
    const of = (role: Named["role"]): string[] => group.filter((f) => f.role === role).map((f) => f.path);
    const [corrected] = of("none");
    const raws = of("raw");
    const flats = of("flat");
    const darks = of("dark");
    if (corrected !== undefined) {
      for (const raw of raws) reasons.set(raw, `raw picture of ${corrected}, which is already corrected`);
    }
    const [subject] = corrected === undefined ? raws : [corrected];
    if (subject === undefined) continue;
    for (const flat of flats) reasons.set(flat, `flat frame of ${subject}`);
    for (const dark of darks) reasons.set(dark, `dark frame of ${subject}`);
    if (corrected === undefined && flats.length > 0)
      for (const raw of raws) frames.set(raw, { flats, darks });
  }
}

function pairFolders(files: readonly Named[], reasons: Reasons, frames: Frames): void {
  const folders = new Map<string, Named[]>();
  for (const file of files) {
    if (reasons.has(file.path)) continue;
    const inFolder = folders.get(file.folder);
    if (inFolder === undefined) folders.set(file.folder, [file]);
    else inFolder.push(file);
  }
  for (const inFolder of folders.values()) {
    const flats = folderFrames(inFolder, /^(flat|ob|open)/i);
    const darks = folderFrames(inFolder, /^(dark|dc)/i);
    const calibration = new Set([...flats, ...darks]);
    const subjects = inFolder.filter((f) => !calibration.has(f.path));
    if (calibration.size === 0 || subjects.length === 0) continue;
    for (const path of flats) reasons.set(path, "flat frame of its folder");
    for (const path of darks) reasons.set(path, "dark frame of its folder");
    if (flats.length === 0) continue;
    for (const { path } of subjects) if (!frames.has(path)) frames.set(path, { flats, darks });
  }
}

/** Paths of a folder's frames of one kind: one without a number, or numbers without gaps from 0 or 1. */
function folderFrames(inFolder: readonly Named[], kind: RegExp): string[] {
  const byWord = new Map<string, { path: string; number: number | null }[]>();
  for (const file of inFolder) {
    const stem = file.base.slice(file.folder.length);
    const match = file.role === "none" ? OF_FOLDER.exec(stem) : null;
    if (match === null || !kind.test(match[1])) continue;
    const word = match[1].toLowerCase();
    const entry = { path: file.path, number: match[2] === undefined ? null : Number(match[2]) };
    byWord.set(word, [...(byWord.get(word) ?? []), entry]);
  }
  for (const found of byWord.values()) {
    const numbers = found.flatMap((f) => (f.number === null ? [] : [f.number])).sort((p, q) => p - q);
    const gapless =
      numbers.every((n, i) => n === numbers[0] + i) && (numbers.length === 0 || numbers[0] <= 1);
    if (gapless) return found.map((f) => f.path);
  }
  return [];
}
