"""Writes src/inspections/lot/fixtures/groups.json: average linkage by scipy, tones by numpy, normal quantiles by scipy.

usage: python3 scripts/reference/group-fixtures.py   (from the project's folder)

Lots are points in a plane; the distances between them are cut into groups where scipy's average linkage exceeds 1.
"""
import json
from pathlib import Path

import numpy as np
import scipy
from scipy.cluster.hierarchy import fcluster, linkage
from scipy.spatial.distance import pdist, squareform
from scipy.stats import norm


def noise(count, seed=1):
    values = np.empty(count, np.float32)
    state = seed
    for i in range(count):
        state = (state * 1664525 + 1013904223) % 2**32
        values[i] = (state >> 8) / 16777216
    return values


def lot(name, centres, spread, seed):
    """Points around centres, in an order of chance."""
    generator = np.random.default_rng(seed)
    points = np.concatenate([np.array(c) + spread * generator.standard_normal((n, 2)) for c, n in centres])
    points = points[generator.permutation(len(points))]
    distances = np.minimum(pdist(points), 4)
    return {
        "name": name,
        "size": len(points),
        "distances": squareform(distances).round(9).ravel().tolist(),
        "groups": fcluster(linkage(distances, "average"), 1, "distance").tolist(),
    }


def chain():
    # Neighbours are 0.8 apart: single linkage would make one group of it, average linkage makes pairs.
    distances = np.minimum(pdist(np.array([[0.8 * i + 0.003 * i * i, 0] for i in range(7)])), 4)
    groups = fcluster(linkage(distances, "average"), 1, "distance").tolist()
    return {"name": "a chain of neighbours", "size": 7, "distances": squareform(distances).ravel().tolist(), "groups": groups}


def tone():
    # A dark picture of mixed levels and the same at another exposure, with noise of 0.01.
    dark = 1.5 * noise(40 * 30, 7)
    light = 0.05 + 0.8 * dark + 0.12 * dark**2 + 0.01 * (noise(40 * 30, 8) - 0.5)
    bend, gain, offset = np.polyfit(dark.astype(float), light.astype(float), 2)
    return {"offset": offset, "gain": gain, "bend": bend}


def main():
    lots = [
        lot("three constructions", [((0, 0), 9), ((3, 0), 6), ((0, 2.6), 4)], 0.18, 1),
        lot("one construction", [((0, 0), 12)], 0.15, 2),
        lot("two equal halves and a stray", [((0, 0), 7), ((2.2, 1), 7), ((-3, 3), 1)], 0.2, 3),
        chain(),
    ]
    document = {
        "source": "scripts/reference/group-fixtures.py",
        "versions": {"numpy": np.__version__, "scipy": scipy.__version__},
        "lots": lots,
        "tone": tone(),
        "normalQuantiles": norm.ppf((np.arange(200) + 0.5) / 200).round(9).tolist(),
    }
    folder = Path("src/inspections/lot/fixtures")
    folder.mkdir(exist_ok=True)
    (folder / "groups.json").write_text(json.dumps(document) + "\n")


main()
