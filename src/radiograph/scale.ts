import type { Measured } from "../units/measured.ts";
import { measured } from "../units/measured.ts";
import { ScaleError } from "./errors.ts";
import type { Picture } from "./picture.ts";
import type { Scale } from "./radiograph.ts";

/** No scale: lengths stay in pixels, ratios stay ratios. */
export const noScale: Scale = { umPerPx: null, U: null, origin: "none" };

/**
 * A scale that a person typed.
 *
 * @param umPerPx object-plane um per px
 * @param U its expanded uncertainty (k = 2), um per px; null when not given
 * @throws ScaleError when the numbers can't be a scale
 */
export function typedScale(umPerPx: number, U: number | null = null): Scale {
  if (!(umPerPx > 0) || !Number.isFinite(umPerPx)) {
    throw new ScaleError(
      "a positive number of um per px",
      `${umPerPx}`,
      "Give the object-plane pixel size, such as 18.5.",
    );
  }
  if (U !== null && !(U >= 0 && Number.isFinite(U))) {
    throw new ScaleError(
      "an uncertainty of 0 or more um per px",
      `${U}`,
      "Give the expanded uncertainty (k = 2), or leave it out.",
    );
  }
  return { umPerPx, U, origin: "typed" };
}

/**
 * A scale from something of known length seen in the picture.
 *
 * @param lengthMm its true length and expanded uncertainty (k = 2), mm
 * @param lengthPx the same length measured in the picture
 * @throws ScaleError when either can't be a length
 */
export function scaleFromReferenceLength(
  lengthMm: { readonly value: number; readonly U: number },
  lengthPx: Measured,
): Scale {
  if (lengthPx.value === null) {
    throw new ScaleError(
      "a measured length in px",
      `none (${lengthPx.because})`,
      "Choose a reference that is seen whole in the picture.",
    );
  }
  if (lengthPx.unit !== "px" || !(lengthPx.value > 0)) {
    throw new ScaleError(
      "a positive length in px",
      `${lengthPx.value} ${lengthPx.unit}`,
      "Measure the reference in pixels.",
    );
  }
  if (!(lengthMm.value > 0) || !(lengthMm.U >= 0)) {
    throw new ScaleError(
      "a positive length in mm with U of 0 or more",
      `${lengthMm.value} +- ${lengthMm.U} mm`,
      "Give the reference length from a drawing or a calliper.",
    );
  }
  const umPerPx = (1000 * lengthMm.value) / lengthPx.value;
  const pixels = (2 * lengthPx.U) / lengthPx.k / lengthPx.value;
  const relative = Math.sqrt((lengthMm.U / lengthMm.value) ** 2 + pixels ** 2);
  return { umPerPx, U: umPerPx * relative, origin: "reference-length" };
}

/**
 * The scale that a file's tag claims, once a person has said that the tag was calibrated in the object plane.
 * Never called on the file's word alone: such tags often hold the detector pitch or a printing resolution.
 *
 * @throws ScaleError when there is no tag or its pixels aren't square
 */
export function scaleFromCalibratedTag(
  picture: Pick<Picture, "taggedPitch">,
  U: number | null = null,
): Scale {
  const tag = picture.taggedPitch;
  if (tag === undefined) {
    throw new ScaleError(
      "a resolution tag in the file",
      "none",
      "Type the scale, or give a reference length.",
    );
  }
  const { umPerPxX, umPerPxY } = tag;
  if (!(umPerPxX > 0) || Math.abs(umPerPxX - umPerPxY) > 0.001 * umPerPxX) {
    throw new ScaleError(
      "square pixels",
      `${umPerPxX} x ${umPerPxY} um`,
      "Type the scale, or give a reference length.",
    );
  }
  return { ...typedScale(umPerPxX, U), origin: "calibrated-tag" } as Scale;
}

/**
 * A length in px as mm, with the scale's uncertainty in its own.
 *
 * Without a scale it stays in px; with a scale whose uncertainty nobody gave, the note says so.
 */
export function toMillimetres(length: Measured, scale: Scale): Measured {
  if (length.value === null) return scale.umPerPx === null ? length : { ...length, unit: "mm" };
  if (length.unit !== "px" || scale.umPerPx === null) return length;
  const perPx = scale.umPerPx / 1000;
  const value = length.value * perPx;
  const fromLength = (length.U / length.k) * perPx;
  const fromScale = scale.U === null ? 0 : ((scale.U / 2) * Math.abs(length.value)) / 1000;
  const notes = [length.note, scale.U === null ? "scale uncertainty not included" : undefined].filter(
    (n) => n !== undefined,
  );
  return measured(
    value,
    Math.sqrt(fromLength ** 2 + fromScale ** 2),
    "mm",
    notes.length > 0 ? notes.join("; ") : undefined,
  );
}
