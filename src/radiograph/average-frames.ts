import { CalibrationFrameError } from "./errors.ts";
import type { Picture } from "./picture.ts";
import { singleChannel } from "./single-channel.ts";

/**
 * Mean of several frames of the same scene (flats, or darks), Float32. One frame is returned as it is.
 *
 * @throws CalibrationFrameError for no frames, or frames of different sizes
 */
export function averageFrames(frames: readonly Picture[]): Picture {
  const [first] = frames;
  if (first === undefined) {
    throw new CalibrationFrameError(
      "radiograph/no-frames",
      "at least one frame",
      "none",
      "Give a flat or dark frame.",
    );
  }
  if (frames.length === 1) return first;
  const { widthPx, heightPx } = first;
  const sum = new Float64Array(widthPx * heightPx);
  for (const frame of frames) {
    if (frame.widthPx !== widthPx || frame.heightPx !== heightPx) {
      throw new CalibrationFrameError(
        "radiograph/frame-size",
        `frames of ${widthPx} x ${heightPx} px, like the first`,
        `${frame.widthPx} x ${frame.heightPx} px`,
        "Give frames taken with the same detector window and binning.",
      );
    }
    const { samples } = singleChannel(frame);
    for (let i = 0; i < sum.length; i++) sum[i] += samples[i];
  }
  const samples = new Float32Array(sum.length);
  for (let i = 0; i < sum.length; i++) samples[i] = sum[i] / frames.length;
  return { ...first, channels: 1, samples, sampleType: "float", bits: 32 };
}
