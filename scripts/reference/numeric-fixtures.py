"""Writes src/numeric/fixtures/numeric.json: what scipy, OpenCV, scikit-image and numpy give for our operations.

usage: python3 scripts/reference/numeric-fixtures.py   (from the project's folder)

The input is noise that both sides make from a seed (see noiseImage in src/numeric/test-images.ts). Of each result every
37th value is kept, with the sum over all.
"""
import json
from pathlib import Path

import cv2
import numpy as np
import scipy
import skimage
from scipy import ndimage
from skimage import filters

from noise_image import noise

WIDTH, HEIGHT, STEP = 48, 40, 37


def kept(result):
    flat = np.asarray(result, float).ravel()
    return {"values": [round(v, 7) for v in flat[::STEP].tolist()], "sum": round(float(flat.sum()), 5)}


def disc(radius):
    reach = np.arange(-radius, radius + 1)
    return reach[:, None] ** 2 + reach[None, :] ** 2 <= radius * radius


def warped(image):
    # out(x, y) = image(0.95 x - 0.2 y + 6.5, 0.2 x + 0.95 y - 3.25), 0 outside the outermost centres
    y, x = np.mgrid[0:HEIGHT, 0:WIDTH].astype(float)
    sx, sy = 0.95 * x - 0.2 * y + 6.5, 0.2 * x + 0.95 * y - 3.25
    inside = (sx >= 0) & (sy >= 0) & (sx <= WIDTH - 1) & (sy <= HEIGHT - 1)
    return np.where(inside, ndimage.map_coordinates(image, [sy, sx], order=1, mode="nearest"), 0)


def surface(image):
    y, x = np.mgrid[-1 : 1 : HEIGHT * 1j, -1 : 1 : WIDTH * 1j]
    terms = np.stack([t.ravel() for t in (np.ones_like(x), x, y, x * x, x * y, y * y)], 1)
    solution = np.linalg.lstsq(terms, image.ravel(), rcond=None)[0]
    return terms @ solution


def main():
    image = noise(WIDTH, HEIGHT).astype(np.float64)
    single = image.astype(np.float32)
    mask = image < 0.55
    sparse = image < 0.35
    mean = ndimage.uniform_filter(image, 9, mode="nearest")
    square = ndimage.uniform_filter(image * image, 9, mode="nearest")
    count, _, stats, centroids = cv2.connectedComponentsWithStats(sparse.astype(np.uint8), connectivity=8)
    largest = 1 + int(np.argmax(stats[1:, cv2.CC_STAT_AREA]))
    spectrum = np.fft.fft2(noise(64, 32, 5).astype(float))
    stack = np.stack([noise(WIDTH, HEIGHT, seed) for seed in range(1, 13)]).astype(float)
    points = np.float32([[3, 4], [30, 11], [35, 29], [9, 21], [17, 15], [22, 25], [5, 9]])
    (cx, cy), sides, _ = cv2.minAreaRect(points)
    vx, vy, x0, y0 = (float(v[0]) for v in cv2.fitLine(points, cv2.DIST_L2, 0, 1e-6, 1e-6))
    results = {
        "gaussian1.5": kept(ndimage.gaussian_filter(image, 1.5, mode="nearest", truncate=4)),
        "gaussian8": kept(ndimage.gaussian_filter(image, 8, mode="nearest", truncate=4)),
        "boxMean4": kept(mean),
        "boxVariance4": kept(square - mean * mean),
        "reduce2": kept(cv2.resize(single, (WIDTH // 2, HEIGHT // 2), interpolation=cv2.INTER_AREA)),
        "reduce4": kept(cv2.resize(single, (WIDTH // 4, HEIGHT // 4), interpolation=cv2.INTER_AREA)),
        "warp": kept(warped(image)),
        "median3": kept(ndimage.median_filter(image, 3, mode="nearest")),
        "median5": kept(cv2.medianBlur(single, 5)),
        "openDisc3": kept(cv2.morphologyEx(single, cv2.MORPH_OPEN, disc(3).astype(np.uint8))),
        "closeSquare2": kept(cv2.morphologyEx(single, cv2.MORPH_CLOSE, np.ones((5, 5), np.uint8))),
        "erodeDisc1": kept(ndimage.binary_erosion(mask, disc(1), border_value=1)),
        "dilateDisc2": kept(ndimage.binary_dilation(sparse, disc(2))),
        "fillHoles": kept(ndimage.binary_fill_holes(mask)),
        "distance": kept(ndimage.distance_transform_edt(mask)),
        "gradientX": kept(np.gradient(image, axis=1)),
        "gradientY": kept(np.gradient(image, axis=0)),
        "spectrumRe": kept(spectrum.real),
        "spectrumIm": kept(spectrum.imag),
        "stackQuantile0.3": kept(np.quantile(stack, 0.3, axis=0)),
        "logRatio": kept(np.log(3.5 / np.maximum(image - 0.1, 0.01))),
        "surface2": kept(surface(image)),
    }
    numbers = {
        "quantile0.123": float(np.quantile(image, 0.123)),
        "median": float(np.median(image)),
        "deviation": float(np.median(np.abs(image - np.median(image)))),
        "otsu": float(filters.threshold_otsu(ndimage.gaussian_filter(image, 2), nbins=256)),
        "components8": int(count - 1),
        "largest": {
            "label": largest,
            "areaPx": int(stats[largest, cv2.CC_STAT_AREA]),
            "boxPx": [int(v) for v in stats[largest, :4]],
            "centroidPx": [float(v) for v in centroids[largest]],
        },
        "rectangle": {"centre": [cx, cy], "sizes": sorted(sides)},
        "line": {"direction": [vx, vy], "point": [x0, y0]},
    }
    versions = {"opencv": cv2.__version__, "scipy": scipy.__version__, "numpy": np.__version__, "skimage": skimage.__version__}
    document = {"source": "scripts/reference/numeric-fixtures.py", "versions": versions, "step": STEP, "results": results, "numbers": numbers}
    folder = Path("src/numeric/fixtures")
    folder.mkdir(exist_ok=True)
    (folder / "numeric.json").write_text(json.dumps(document, indent=1) + "\n")


main()
