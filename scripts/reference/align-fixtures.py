"""Writes src/align/fixtures/align.json: what OpenCV gives for similarities, halvings and registration.

usage: python3 scripts/reference/align-fixtures.py   (from the project's folder)

The registered pictures are sums of round Gaussian spots, which both sides compute from the list written here: a moved
picture is the same sum at the moved places, so the true map is known exactly and no resampling comes in.
"""
import json
from pathlib import Path

import cv2
import numpy as np

WIDTH, HEIGHT = 120, 90
# x, y, standard deviation (px), height
SPOTS = [
    [28, 22, 5, 1.0], [60, 18, 4, 0.7], [92, 30, 6, 0.9], [40, 50, 7, 0.6], [70, 48, 4, 1.1],
    [100, 62, 5, 0.8], [24, 70, 6, 0.9], [55, 74, 4, 0.7], [84, 76, 5, 1.0], [48, 34, 3, 0.5],
]
# name: turn (degrees), scale, shift (px)
MOVES = {"shift": (0, 1, 2.3, -1.7), "turn": (1.6, 1, 1.2, 0.8), "scale": (-1.1, 1.025, -0.9, 1.4)}


def spots(width, height, back, of=SPOTS):
    y, x = np.mgrid[0:height, 0:width].astype(float)
    u = back[0, 0] * x + back[0, 1] * y + back[0, 2]
    v = back[1, 0] * x + back[1, 1] * y + back[1, 2]
    return sum(h * np.exp(-((u - cx) ** 2 + (v - cy) ** 2) / (2 * s * s)) for cx, cy, s, h in of)


def move(turn, scale, dx, dy):
    # OpenCV's positive angle turns anti-clockwise on screen, ours clockwise (y points down).
    m = cv2.getRotationMatrix2D(((WIDTH - 1) / 2, (HEIGHT - 1) / 2), -turn, scale)
    m[:, 2] += (dx, dy)
    return m


def flat(m):
    return dict(zip("abcdef", (float(v) for v in np.asarray(m).ravel())))


def square(m):
    return np.vstack([m, [0, 0, 1]])


def ecc(true, of=SPOTS):
    reference = spots(WIDTH, HEIGHT, np.eye(2, 3)).astype(np.float32)
    moving = spots(WIDTH, HEIGHT, cv2.invertAffineTransform(true), of).astype(np.float32)
    found = np.eye(2, 3, dtype=np.float32)
    criteria = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_COUNT, 300, 1e-9)
    return cv2.findTransformECC(reference, moving, found, cv2.MOTION_AFFINE, criteria, None, 1)


def registered():
    out = []
    for name, of in MOVES.items():
        true = move(*of)
        correlation, found = ecc(true)
        out.append({"name": name, "turnDeg": of[0], "scale": of[1], "true": flat(true), "ecc": flat(found), "correlation": correlation})
    return out


def odd(others):
    return {"spots": others, "ecc": flat(ecc(move(*MOVES["turn"]), others)[1])}


def maps():
    first, second = move(17, 1.2, 5, -3), move(-40, 0.9, 2, 11)
    second = second @ square(np.float64([[-1, 0, 30], [0, 1, 0]]))  # mirrored
    points = np.float64([[0, 0], [10, 0], [3.5, -7.25]])
    return {
        "first": flat(first),
        "second": flat(second),
        "composed": flat((square(second) @ square(first))[:2]),
        "inverse": flat(cv2.invertAffineTransform(second)),
        "points": points.tolist(),
        "mapped": cv2.transform(points[None], second)[0].tolist(),
    }


def halvings():
    image = spots(WIDTH, HEIGHT, np.eye(2, 3)).astype(np.float32)
    half = cv2.resize(image, (60, 45), interpolation=cv2.INTER_AREA)
    return {"half": [[60, 45], half.ravel()[::97].astype(float).round(7).tolist()]}


def main():
    document = {
        "source": "scripts/reference/align-fixtures.py",
        "versions": {"opencv": cv2.__version__, "numpy": np.__version__},
        "widthPx": WIDTH,
        "heightPx": HEIGHT,
        "spots": SPOTS,
        "registered": registered(),
        "missing": odd([s for k, s in enumerate(SPOTS) if k != 4] + [[80, 60, 3, 1.5]]),
        "foreign": odd(SPOTS + [[72, 44, 3, 3]]),
        "maps": maps(),
        "halvings": halvings(),
    }
    (Path("src/align/fixtures") / "align.json").write_text(json.dumps(document, indent=1) + "\n")


main()
