"""Writes src/numeric/fixtures/blurred-edge.json: a die's wall under a fillet, blurred by scipy, and normal shares.

Run: python3 scripts/reference/blurred-edge-fixtures.py (numpy, scipy)
"""
import json
from pathlib import Path

import numpy as np
from scipy.integrate import quad
from scipy.ndimage import gaussian_filter1d
from scipy.stats import norm

SIGMA_PX = 0.9
WALL_PX = 0.3
STEP = 0.01
x = np.arange(-20, 20 + STEP / 2, STEP)
places = np.arange(-4, 4.01, 0.5)


def blurred(shape):
    return [round(float(np.interp(p, x, gaussian_filter1d(shape, SIGMA_PX / STEP, truncate=6))), 6) for p in places]


def fillet(width_px):
    """Level 1 up to the wall; beyond it the pad at 0.95 with a fillet of 0.25 that tapers off."""
    return np.where(x < WALL_PX, 1.0, 0.95 + 0.25 * np.clip(1 - (x - WALL_PX) / width_px, 0, None))


def thin(width_px, over):
    """A wall 1.1 px inside, the pad 0.1 below its die, a fillet narrower than the blur on it."""
    tapers = over * np.clip(1 - (x + 1.1) / width_px, 0, None)
    return np.where(x < -1.1, 1.0, 0.9 + tapers)


fixture = {
    "sigmaPx": SIGMA_PX,
    "wallPx": WALL_PX,
    "places": places.tolist(),
    "fillets": [{"widthPx": w, "values": blurred(fillet(w))} for w in (3, 4, 6, 10)],
    "thin": [{"widthPx": w, "values": blurred(thin(w, h))} for w, h in ((0.8, 0.4), (1.2, 0.3), (1.6, 0.25))],
    "plain": blurred(np.where(x < WALL_PX, 1.0, 0.6)),
    "shares": [{"z": z, "share": float(norm.cdf(z))} for z in (-3, -1.2, 0, 0.5, 2)],
    "ramps": [
        {"x": at, "value": quad(lambda u, at=at: u * norm.pdf(at - u, scale=SIGMA_PX), 0, 20, points=[max(at, 0.1)])[0]}
        for at in (-1.5, 0, 0.7, 3)
    ],
}
out = Path(__file__).resolve().parents[2] / "src/numeric/fixtures/blurred-edge.json"
out.write_text(json.dumps(fixture, indent=1) + "\n")
