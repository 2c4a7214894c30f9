import type { Picture } from "../../radiograph/picture.ts";
import { UnreadablePictureError } from "../errors.ts";
import type { Directory } from "./directory.ts";
import { tag } from "./tags.ts";

const unitUm: Readonly<Record<number, readonly [string, number]>> = {
  2: ["inch", 25_400],
  3: ["centimetre", 10_000],
};

/**
 * Pixel pitch from the resolution tags: a claim, not a scale. Undefined without a unit or a usable number,
 * and when the tags point outside the file, since the pixels do not depend on them.
 */
export function taggedPitch(directory: Directory): Picture["taggedPitch"] {
  try {
    return readPitch(directory);
  } catch (error) {
    if (error instanceof UnreadablePictureError) return undefined;
    throw error;
  }
}

function readPitch(directory: Directory): Picture["taggedPitch"] {
  const unit = unitUm[directory.number(tag.resolutionUnit, 2)];
  const x = directory.number(tag.xResolution, 0);
  const y = directory.number(tag.yResolution, x);
  if (unit === undefined || !(x > 0 && y > 0 && Number.isFinite(x) && Number.isFinite(y))) return undefined;
  const [name, um] = unit;
  return { umPerPxX: um / x, umPerPxY: um / y, source: `TIFF resolution tags: ${x} x ${y} per ${name}` };
}
