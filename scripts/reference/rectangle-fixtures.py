"""Writes src/numeric/fixtures/rectangle.json: turned rectangles as OpenCV and scipy see them.

usage: python3 scripts/reference/rectangle-fixtures.py   (from the project's folder)

Corners are those of cv2.boxPoints. The edges are those that scipy's curve_fit gives when it fits the whole picture of a
soft-edged rectangle in noise, which both sides make from a seed (noiseImage in src/numeric/test-images.ts).
"""
import json
from pathlib import Path

import cv2
import numpy as np
import scipy
from scipy.optimize import curve_fit

from noise_image import noise

WIDTH, HEIGHT, SOFT, NOISE = 110, 90, 0.8, 0.3


def soft_rectangle(_, cx, cy, angle, length, width, low, high):
    y, x = np.mgrid[0:HEIGHT, 0:WIDTH].astype(float)
    c, s = np.cos(angle), np.sin(angle)
    u, v = c * (x - cx) + s * (y - cy), -s * (x - cx) + c * (y - cy)
    inside = 1 / (1 + np.exp((np.abs(u) - length / 2) / SOFT)) / (1 + np.exp((np.abs(v) - width / 2) / SOFT))
    return (low + (high - low) * inside).ravel()


def fitted(true, seed):
    image = soft_rectangle(None, *true) + NOISE * (noise(WIDTH, HEIGHT, seed).ravel() - 0.5)
    start = np.array(true) + [1, -1, 0.02, 2, -2, 0, 0]
    found, covariance = curve_fit(soft_rectangle, None, image, start)
    return {
        "seed": seed,
        "true": dict(zip(("x", "y", "angleRad", "lengthPx", "widthPx", "low", "high"), true)),
        "fitted": dict(zip(("x", "y", "angleRad", "lengthPx", "widthPx"), found[:5].tolist())),
        "u": dict(zip(("x", "y", "angleRad", "lengthPx", "widthPx"), np.sqrt(np.diag(covariance))[:5].tolist())),
    }


def main():
    boxes = []
    for cx, cy, length, width, degrees in ((40, 30, 20, 8, 0), (12.5, -7.25, 33, 10.5, 25), (100, 50, 8, 21, -70)):
        points = cv2.boxPoints(((cx, cy), (length, width), degrees))
        boxes.append({"centrePx": [cx, cy], "lengthPx": length, "widthPx": width, "degrees": degrees, "corners": points.tolist()})
    document = {
        "source": "scripts/reference/rectangle-fixtures.py",
        "versions": {"opencv": cv2.__version__, "numpy": np.__version__, "scipy": scipy.__version__},
        "boxes": boxes,
        "softPx": SOFT,
        "noise": NOISE,
        "edges": [fitted((55.3, 43.8, 0.12, 62.4, 37.7, 0.2, 1.2), 3), fitted((52.1, 46.6, -0.3, 40.25, 40.75, 0.1, 0.9), 4)],
    }
    Path("src/numeric/fixtures/rectangle.json").write_text(json.dumps(document, indent=1) + "\n")


main()
