"""Writes src/inspections/wires/fixtures/lines.json: strips and lines through them as scipy sees them.

usage: python3 scripts/reference/wire-fixtures.py   (from the project's folder)

Strips are cut by scipy.ndimage.map_coordinates (order 1). The line is the shortest path of scipy.sparse.csgraph through
a graph of all pixels, each joined to the three that follow it in the next row; its costs are those that bestLine
states. Both sides make the same picture from a seed (noiseImage in src/numeric/test-images.ts).
"""
import json
from pathlib import Path

import numpy as np
import scipy
from scipy.ndimage import map_coordinates
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import dijkstra

from noise_image import noise

BEND_SHARE, MOST_GAIN = 0.3, 1.5


def strip(image, start, end, half):
    start, end = np.array(start, float), np.array(end, float)
    length = np.hypot(*(end - start))
    rows = max(1, int(round(length)) + 1)
    ux, uy = (end - start) / length
    t, n = np.mgrid[0:rows, -half : half + 1].astype(float)
    x, y = start[0] + t * ux + n * uy, start[1] + t * uy - n * ux
    return map_coordinates(image.astype(float), [y, x], order=1)


def line_gain(over):
    """The most that a line can gain, and its columns."""
    rows, columns = over.shape
    typical = np.median(np.maximum(0, over.max(axis=1)))
    gain = np.minimum(MOST_GAIN * typical, np.maximum(-typical, over))
    top = MOST_GAIN * typical
    # The least of (top - gain) is the most of gain; every path has as many rows.
    start, goal = rows * columns, rows * columns + 1
    edges = [(start, c, top - gain[0, c] + 1e-9) for c in range(columns)]
    for t in range(1, rows):
        for c in range(columns):
            for p in range(max(0, c - 1), min(columns, c + 2)):
                cost = top - gain[t, c] + (BEND_SHARE * typical if p != c else 0)
                edges.append(((t - 1) * columns + p, t * columns + c, cost + 1e-9))
    edges += [((rows - 1) * columns + c, goal, 1e-9) for c in range(columns)]
    i, j, w = zip(*edges)
    graph = coo_matrix((w, (i, j)), shape=(rows * columns + 2,) * 2).tocsr()
    distance, before = dijkstra(graph, indices=start, return_predecessors=True)
    node, path = before[goal], []
    while node != start:
        path.append(int(node % columns))
        node = before[node]
    return float(rows * top - distance[goal]), path[::-1]


def main():
    image = noise(60, 50, 5)
    strips = [
        {"from": list(a), "to": list(b), "halfWidthPx": h, "data": strip(image, a, b, h).astype(np.float32).ravel().tolist()}
        for a, b, h in (((10, 10), (40, 10), 3), ((12.5, 40.25), (31.75, 14), 4))
    ]
    over = noise(13, 40, 9).astype(float) - 0.6
    for t in range(40):
        over[t, int(round(6 + 4 * np.sin(t / 9)))] += 0.5
    gain, path = line_gain(over)
    document = {
        "source": "scripts/reference/wire-fixtures.py",
        "versions": {"numpy": np.__version__, "scipy": scipy.__version__},
        "strips": strips,
        "line": {"rows": 40, "columns": 13, "over": over.astype(np.float32).ravel().tolist(), "gain": gain, "columnsOfRows": path},
    }
    folder = Path("src/inspections/wires/fixtures")
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "lines.json").write_text(json.dumps(document, separators=(",", ":")) + "\n")


if __name__ == "__main__":
    main()
