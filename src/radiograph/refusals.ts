import { cellQuantiles } from "./cell-quantiles.ts";
import type { ClipLevels } from "./clipping.ts";
import { NotAMeasuringPictureError } from "./errors.ts";
import type { GreyHistogram } from "./grey-histogram.ts";
import { shareAtGrey } from "./grey-histogram.ts";
import type { GreyNoise } from "./noise.ts";
import { greySigma } from "./noise.ts";
import type { Picture } from "./picture.ts";
import type { ReducedPicture } from "./reduced-picture.ts";
import { reducePicture } from "./reduced-picture.ts";

const LEAST_SIDE_PX = 16;
const SATURATED_SHARE = 0.999;
/** A beam-off frame lies within this share of the file's full scale. */
const BEAM_OFF_SHARE = 0.015;
/** and has no better signal-to-noise ratio than this. */
const BEAM_OFF_SNR = 100;
/** Spread of cell means over what noise alone gives, below which there is nothing to see. */
const UNSTRUCTURED_RATIO = 2;

/**
 * Refuses what no measurement can start from.
 *
 * @throws NotAMeasuringPictureError too small, constant, saturated, or without numbers
 */
export function refuseUnmeasurable(picture: Picture, histogram: GreyHistogram, clip: ClipLevels): void {
  const { widthPx, heightPx } = picture;
  if (widthPx < LEAST_SIDE_PX || heightPx < LEAST_SIDE_PX) {
    throw new NotAMeasuringPictureError(
      "radiograph/too-small",
      `a picture of at least ${LEAST_SIDE_PX} x ${LEAST_SIDE_PX} px`,
      `${widthPx} x ${heightPx} px`,
      "Give the whole radiograph, not a thumbnail or an icon.",
    );
  }
  if (histogram.total === 0) {
    throw new NotAMeasuringPictureError(
      "radiograph/no-numbers",
      "finite grey values",
      "only samples that are not numbers",
      "Export the picture again from the system that took it.",
    );
  }
  const topShare = clip.high === null ? 0 : shareAtGrey(histogram, clip.high);
  if (topShare >= SATURATED_SHARE && histogram.maxGrey > 0) {
    throw new NotAMeasuringPictureError(
      "radiograph/saturated",
      "grey below the detector's ceiling",
      `${(100 * topShare).toFixed(1)} % of the pixels at ${clip.high}`,
      "Take the picture again with less exposure.",
    );
  }
  if (histogram.minGrey === histogram.maxGrey) {
    throw new NotAMeasuringPictureError(
      "radiograph/constant",
      "grey that varies",
      `${histogram.minGrey} in every pixel`,
      "Check that the detector was read out and the right file was chosen.",
    );
  }
}

/**
 * Refuses a frame that holds dark level and noise only.
 *
 * @throws NotAMeasuringPictureError beam off
 */
export function refuseUnstructured(
  picture: Picture,
  histogram: GreyHistogram,
  noise: GreyNoise,
  reduced: ReducedPicture,
): void {
  if (noise.bins.length === 0 || picture.sampleType === "float") return;
  const { mean, factorPx } = coarser(reduced);
  const [low, middle, high] = cellQuantiles(mean, [0.001, 0.5, 0.999]);
  const fullScale = 2 ** picture.bits;
  if (middle > BEAM_OFF_SHARE * fullScale || histogram.minGrey < 0) return;
  const sigma = Math.max(greySigma(noise, middle), 1e-9);
  if (middle / sigma > BEAM_OFF_SNR) return;
  const spread = (high - low) / 6.2;
  const expected = (sigma * (1 + 2 * noise.neighbourCorrelation)) / factorPx;
  if (spread > UNSTRUCTURED_RATIO * expected) return;
  throw new NotAMeasuringPictureError(
    "radiograph/beam-off",
    "a picture of something",
    `grey ${middle.toPrecision(3)} of ${fullScale} with noise of ${sigma.toPrecision(2)} and no structure: the beam was off`,
    "Check that the tube was on and the shutter open; give dark frames with --dark.",
  );
}

/** Cells of about 16 px, over which noise averages out and faint structure stays. */
function coarser(reduced: ReducedPicture): { readonly mean: Float32Array; readonly factorPx: number } {
  const group = Math.max(1, Math.floor(16 / reduced.factorPx));
  const width = Math.floor(reduced.width / group);
  const height = Math.floor(reduced.height / group);
  if (group === 1 || width * height < 9) return reduced;
  const coarse = reducePicture(
    reduced.mean,
    reduced.width,
    reduced.height,
    Math.ceil(Math.max(reduced.width, reduced.height) / group),
  );
  return { mean: coarse.mean, factorPx: coarse.factorPx * reduced.factorPx };
}
