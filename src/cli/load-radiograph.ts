import { createHash } from "node:crypto";
import { readFileSync, statSync } from "node:fs";
import type { Limits } from "../formats/limits.ts";
import { defaultLimits } from "../formats/limits.ts";
import { readPicture } from "../formats/read-picture.ts";
import { averageFrames } from "../radiograph/average-frames.ts";
import type { Picture } from "../radiograph/picture.ts";
import type { Polarity, Radiograph, Scale } from "../radiograph/radiograph.ts";
import { toRadiograph } from "../radiograph/to-radiograph.ts";
import type { PairedPicture } from "./calibration-frames.ts";
import { codecs } from "./codecs.ts";

/**
 * Attenuation, masks and working images cost about 14 bytes a pixel on top of the samples: this many keep a job under
 * 1 GiB.
 */
export const maxPixels = 40_000_000;

/** Reads a picture file; the error names what was wrong with it. */
async function readFile(
  path: string,
  limits: Partial<Limits>,
): Promise<{ picture: Picture; sha256: string }> {
  const { size } = statSync(path);
  if (size > defaultLimits.maxFileBytes) {
    throw new Error(
      `The file has ${size} bytes; expected at most ${defaultLimits.maxFileBytes}. Cut the picture to the parts that matter.`,
    );
  }
  const bytes = readFileSync(path);
  const sha256 = createHash("sha256").update(bytes).digest("hex");
  return { picture: await readPicture(bytes, { codecs, limits }), sha256 };
}

/**
 * Loads pictures with their calibration frames; frames shared by many pictures are read once.
 *
 * @param limits checked before anything is allocated
 */
export function radiographLoader(
  scale: Scale,
  limits: Partial<Limits> = { maxPixels },
): (paired: PairedPicture, lotPolarity?: Polarity["value"]) => Promise<Radiograph> {
  const frames = new Map<string, Promise<Picture>>();
  const frame = (paths: readonly string[]): Promise<Picture> | undefined => {
    if (!paths.length) return undefined;
    const key = paths.join("\n");
    let loaded = frames.get(key);
    if (!loaded) {
      loaded = Promise.all(paths.map(async (p) => (await readFile(p, limits)).picture)).then(averageFrames);
      frames.set(key, loaded);
    }
    return loaded;
  };
  return async ({ picture: path, flats, darks }, lotPolarity) => {
    const { picture, sha256 } = await readFile(path, limits);
    return toRadiograph(picture, {
      name: path,
      sha256,
      flat: await frame(flats),
      dark: await frame(darks),
      lotPolarity,
      scale,
    });
  };
}
