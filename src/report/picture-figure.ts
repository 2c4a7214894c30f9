import type { BoxPx } from "../numeric/image.ts";
import { base64 } from "./base64.ts";
import type { Image8 } from "./display-picture.ts";
import type { Html } from "./html.ts";
import { html, markup, noHtml } from "./html.ts";

/** Encodes an 8-bit picture as PNG; handed in by a shell. */
export type EncodePng = (image: Image8) => Uint8Array;

/** A numbered box over a picture. */
export interface Mark {
  readonly boxPx: BoxPx;
  readonly label: string;
}

/** A bar of known length for a picture's lower left corner. */
export interface ScaleBar {
  readonly lengthPx: number;
  readonly label: string;
}

/** An aligned picture to draw, in aligned-frame pixels. */
export interface PictureFigure {
  readonly width: number;
  readonly height: number;
  /** What a reader who does not see it is told. */
  readonly label: string;
  readonly layers: readonly Html[];
  readonly marks?: readonly Mark[];
  readonly scaleBar?: ScaleBar | null;
}

/** A layer from a picture's bytes, filling a frame of `width` by `height`. `id` lets `layerAgain` draw it elsewhere. */
export function pictureLayer(
  image: Image8,
  encodePng: EncodePng,
  width: number,
  height: number,
  id?: string,
): Html {
  const name = id === undefined ? noHtml : html` id="${id}"`;
  return html`<image${name} href="data:image/png;base64,${markup(base64(encodePng(image)))}" width="${width}" height="${height}" preserveAspectRatio="none"/>`;
}

/** A layer drawn before, once more: its bytes stand in the report once. */
export function layerAgain(id: string): Html {
  return html`<use class="under" href="#${id}"/>`;
}

/** The figure as inline SVG: layers, then boxes with numbers, then the scale bar. */
export function pictureFigure({
  width,
  height,
  label,
  layers,
  marks = [],
  scaleBar = null,
}: PictureFigure): Html {
  const textPx = Math.max(width, height) * 0.042;
  return html`<svg class="picture" viewBox="0 0 ${width} ${height}" role="img" aria-label="${label}">${layers}${marks.map((mark) => markHtml(mark, width, height, textPx))}${scaleBar === null ? noHtml : scaleBarHtml(scaleBar, height, textPx)}</svg>`;
}

function markHtml({ boxPx, label }: Mark, width: number, height: number, textPx: number): Html {
  const [x, y, boxWidth, boxHeight] = boxPx.map((value) => Math.round(value * 10) / 10);
  const tagWidth = textPx * (0.7 + 0.6 * label.length);
  const tagHeight = textPx * 1.25;
  const tagX = Math.max(0, Math.min(width - tagWidth, x));
  const tagY = y >= tagHeight ? y - tagHeight : Math.min(height - tagHeight, y + boxHeight);
  const box = html`x="${x}" y="${y}" width="${boxWidth}" height="${boxHeight}"`;
  const tag =
    label === ""
      ? noHtml
      : html`<rect class="tag" x="${tagX}" y="${tagY}" width="${tagWidth}" height="${tagHeight}"/><text class="tag-text" x="${tagX + tagWidth / 2}" y="${tagY + textPx * 0.98}" font-size="${textPx}">${label}</text>`;
  return html`<rect class="mark-edge" ${box}/><rect class="mark" ${box}/>${tag}`;
}

function scaleBarHtml({ lengthPx, label }: ScaleBar, height: number, textPx: number): Html {
  const x = textPx * 0.6;
  const y = height - textPx * 0.7;
  const plateWidth = Math.max(lengthPx, textPx * 0.6 * label.length) + textPx * 0.8;
  return html`<rect class="bar-plate" x="${x - textPx * 0.4}" y="${y - textPx * 1.5}" width="${plateWidth}" height="${textPx * 2}"/><rect class="bar" x="${x}" y="${y - textPx * 0.2}" width="${lengthPx}" height="${textPx * 0.22}"/><text class="bar-text" x="${x}" y="${y - textPx * 0.45}" font-size="${textPx * 0.9}">${label}</text>`;
}
