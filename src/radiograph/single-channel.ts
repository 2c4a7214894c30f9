import { NotAMeasuringPictureError } from "./errors.ts";
import type { Picture, Samples } from "./picture.ts";

/** Channels of a lossy grey picture may differ by this many levels after colour coding. */
const LOSSY_LEVELS = 3;

/**
 * The grey samples of a picture. A colour picture whose three channels agree is grey in all but form
 * and gives its first channel with a note; extra channels (alpha) are left out with a note.
 *
 * @throws NotAMeasuringPictureError for colour whose channels differ, or palette indices
 */
export function singleChannel(picture: Picture): {
  readonly samples: Samples;
  readonly notes: readonly string[];
} {
  const { channels, samples, photometric } = picture;
  if (photometric === "palette") {
    throw new NotAMeasuringPictureError(
      "radiograph/palette",
      "grey samples",
      "palette indices, which are names of colours and not grey values",
      "Export the picture as 16-bit grey from the system that took it.",
    );
  }
  if (channels === 1) return { samples, notes: [] };
  const pixels = samples.length / channels;
  const tolerance = picture.lossy ? LOSSY_LEVELS : 0;
  if (channels >= 3) {
    let differing = 0;
    for (let i = 0; i < samples.length; i += channels) {
      const first = samples[i];
      if (Math.abs(first - samples[i + 1]) > tolerance || Math.abs(first - samples[i + 2]) > tolerance)
        differing++;
    }
    if (differing > 0) {
      const percent = ((100 * differing) / pixels).toFixed(1);
      throw new NotAMeasuringPictureError(
        "radiograph/colour",
        "one grey channel, or colour channels that agree",
        `colour channels that differ in ${percent} % of the pixels (a false-colour picture, a photograph, or marks drawn in colour)`,
        "Export the picture as 16-bit grey, without colour and marks, from the system that took it.",
      );
    }
  }
  const grey = samples.slice(0, pixels);
  const chosen = channels >= 3 ? 1 : 0; // green: the channel lossy coding keeps best
  for (let i = 0, j = chosen; i < pixels; i++, j += channels) grey[i] = samples[j];
  const notes =
    channels >= 3
      ? ["Stored as colour with equal channels; one channel was used as grey."]
      : ["The second channel (alpha) was left out."];
  return { samples: grey, notes };
}
