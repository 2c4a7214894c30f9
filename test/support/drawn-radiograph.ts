import { gaussianBlur } from "../../src/numeric/gaussian-blur.ts";
import { createImage } from "../../src/numeric/image.ts";
import type { OrientedRectangle } from "../../src/numeric/oriented-rectangle.ts";
import { noiseImage } from "../../src/numeric/test-images.ts";
import type { Radiograph } from "../../src/radiograph/radiograph.ts";
import { noScale } from "../../src/radiograph/scale.ts";

/** Matter of even attenuation in the beam. */
export interface Slab {
  readonly rect: OrientedRectangle;
  /** Added where the rectangle lies; negative takes matter away. */
  readonly attenuation: number;
}

/** An upright slab from its first and last pixel. */
export function slab(
  attenuation: number,
  [left, top]: readonly [number, number],
  [right, bottom]: readonly [number, number],
): Slab {
  return {
    attenuation,
    rect: {
      centrePx: [(left + right) / 2, (top + bottom) / 2],
      angleRad: 0,
      lengthPx: right - left + 1,
      widthPx: bottom - top + 1,
    },
  };
}

/** The slabs of a part, which is drawn lying straight around 0, 0, placed in a picture. */
export function placed(
  part: readonly Slab[],
  [x, y]: readonly [number, number],
  turnDeg = 0,
  mirrored = false,
  scale = 1,
): Slab[] {
  const turn = (turnDeg * Math.PI) / 180;
  const [c, s] = [scale * Math.cos(turn), scale * Math.sin(turn)];
  return part.map(({ rect, attenuation }) => {
    const [u, v] = [mirrored ? -rect.centrePx[0] : rect.centrePx[0], rect.centrePx[1]];
    return {
      attenuation,
      rect: {
        centrePx: [x + c * u - s * v, y + s * u + c * v],
        angleRad: (mirrored ? -rect.angleRad : rect.angleRad) + turn,
        lengthPx: scale * rect.lengthPx,
        widthPx: scale * rect.widthPx,
      },
    };
  });
}

const fine = 4;

/**
 * A radiograph of known truth: attenuation is drawn, edges shared among pixels by area (4 x 4 points each), then
 * blurred as focal spot and screen do, with even noise of a given standard deviation.
 */
export function drawnRadiograph(
  widthPx: number,
  heightPx: number,
  matter: readonly Slab[],
  { noise = 0.004, unsharpPx = 0.8 }: { readonly noise?: number; readonly unsharpPx?: number } = {},
  of: Partial<Radiograph> = {},
): Radiograph {
  const drawn = createImage(widthPx, heightPx);
  for (const { rect, attenuation: dense } of matter) {
    const reach = Math.hypot(rect.lengthPx, rect.widthPx) / 2 + 1;
    const [c, s] = [Math.cos(rect.angleRad), Math.sin(rect.angleRad)];
    const [cx, cy] = rect.centrePx;
    for (let y = Math.max(0, Math.floor(cy - reach)); y < Math.min(heightPx, cy + reach); y++) {
      for (let x = Math.max(0, Math.floor(cx - reach)); x < Math.min(widthPx, cx + reach); x++) {
        const margin = Math.min(
          rect.lengthPx / 2 - Math.abs(c * (x - cx) + s * (y - cy)),
          rect.widthPx / 2 - Math.abs(c * (y - cy) - s * (x - cx)),
        );
        if (margin <= -1) continue;
        // Only pixels at an edge are shared.
        let inside = margin >= 1 ? fine * fine : 0;
        for (let k = 0; k < fine * fine && margin < 1; k++) {
          const u = x + ((k % fine) + 0.5) / fine - 0.5 - cx;
          const v = y + (Math.floor(k / fine) + 0.5) / fine - 0.5 - cy;
          if (Math.abs(c * u + s * v) < rect.lengthPx / 2 && Math.abs(c * v - s * u) < rect.widthPx / 2)
            inside++;
        }
        drawn.data[y * widthPx + x] += (dense * inside) / (fine * fine);
      }
    }
  }
  const attenuation = unsharpPx > 0 ? gaussianBlur(drawn, unsharpPx).data : drawn.data;
  const grain = noiseImage(widthPx, heightPx, 11).data;
  // Even noise between 0 and 1 has a standard deviation of 1 / sqrt(12).
  for (let i = 0; i < grain.length; i++) attenuation[i] += noise * Math.sqrt(12) * (grain[i] - 0.5);
  return {
    picture: "drawn.tif",
    sha256: "0".repeat(64),
    format: "tiff",
    widthPx,
    heightPx,
    samples: new Uint16Array(widthPx * heightPx),
    bits: 16,
    lossy: false,
    polarity: { value: "dense-is-dark", because: "person", confidence: 1, evidence: 1 },
    scale: noScale,
    greyStep: 1,
    clip: { low: null, high: null },
    attenuation,
    censored: new Uint8Array(widthPx * heightPx),
    noise: { a: noise * noise, b: 0 },
    background: { kind: "fitted", greyMean: 3000, share: 0.4 },
    notes: [],
    ...of,
  };
}
