"""Part finding with OpenCV: the steps of src/inspections/lot/finding/find-parts.ts in a general-purpose library.

Reduce; cut at 28 levels, fill holes, label; keep the runs of levels over which the same equal pieces stand; leave
out pockets and the tray; open away the leads, minAreaRect of each body, then its four edges from profiles at full size.

Against ours it does less: parts that touch by more than their leads stay one, nothing is checked against something
larger that the picture cuts, the body's direction is minAreaRect's, and an edge is the half-way level along 60
profiles a side in two rounds (ours: the foot of the slope along up to 240 profiles in three, voted), so that sizes
differ by the mould's draft.
"""
import math

import cv2
import numpy as np

LEVELS = 28


def cut(reduced, level):
    """Pieces denser than the level, holes filled: (labels, solid mask, rows of [area, filled, x, y, w, h, touches])."""
    solid = (reduced > level).astype(np.uint8)
    outlines, _ = cv2.findContours(solid, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_SIMPLE)
    filled = cv2.drawContours(np.zeros_like(solid), outlines, -1, 1, cv2.FILLED)
    _, labels, stats, _ = cv2.connectedComponentsWithStats(filled, connectivity=8)
    height, width = solid.shape
    x, y, w, h, area = stats[1:].T
    touches = (x == 0) | (y == 0) | (x + w == width) | (y + h == height)
    return labels, solid, np.column_stack([area, x, y, w, h, touches])


def units(pieces):
    """Rows of the pieces that are one part each, and their median area."""
    free = np.flatnonzero(pieces[:, 5] == 0)
    if not len(free):
        return free, 0.0
    area = pieces[free, 0]
    unit = float(np.median(area[area >= 0.25 * area.max()]))
    return free[(area >= unit / 1.67) & (area <= unit * 1.67)], unit


def describe(reduced, levels):
    labels, solid, pieces = cut(reduced, levels[len(levels) // 2])
    rows, unit = units(pieces)
    solidity, rectangularity = [], []
    for row in rows:
        area, x, y, w, h, _ = pieces[row]
        mine = labels[y : y + h, x : x + w] == row + 1
        solidity.append(np.count_nonzero(solid[y : y + h, x : x + w][mine]) / area)
        _, (a, b), _ = cv2.minAreaRect(cv2.findNonZero(mine.astype(np.uint8)))
        rectangularity.append(area / ((a + 1) * (b + 1)))
    middle = [float(np.median(v)) if v else 0.0 for v in (solidity, rectangularity)]
    return {"from": levels[0], "to": levels[-1], "count": len(rows), "unit": unit, "solidity": middle[0], "rect": middle[1]}


def plateaus(reduced, noise):
    top = float(np.quantile(reduced, 0.985))
    floor = max(6 * noise, 0.004)
    if not top > 1.5 * floor:
        return []
    ladder = floor * (top / floor) ** (np.arange(LEVELS) / LEVELS)
    seen = []
    for level in ladder:
        rows, unit = units(cut(reduced, level)[2])
        seen.append((float(level), len(rows), unit))
    runs, run = [], []
    for here in seen:
        before = run[-1] if run else None
        alike = before and before[1] and here[1] and abs(before[1] - here[1]) <= 0.1 * before[1]
        if not (alike and abs(math.log(here[2] / before[2])) < 0.1):
            runs.append(run)
            run = []
        run.append(here)
    runs.append(run)
    return [describe(reduced, [r[0] for r in run if r[1]]) for run in runs if sum(r[1] > 0 for r in run) > 1]


def standing(found, least):
    """The plateaus that can be parts: neither pockets nor a tray around denser ones."""
    good = [p for p in found if math.log(p["to"] / p["from"]) > 0.35 and p["solidity"] > 0.9 and p["rect"] > 0.5 and p["unit"] > least]

    def surrounds(outer, inner):
        share, times = inner["unit"] / outer["unit"], inner["count"] / outer["count"]
        pocket = abs(times - 1) <= 0.1 and 0.2 < share < 0.85 and outer["to"] < 0.1 * inner["to"]
        tray = times >= 3 and share > 0.02 and share * times > 0.5 and inner["rect"] > 0.7
        return pocket or tray

    return [p for i, p in enumerate(good) if not any(surrounds(p, inner) for inner in good[i + 1 :])]


def coarse_bodies(labels, solid, pieces, unit):
    """minAreaRect of every body once the leads are opened away: (centre, length, width, turn, reach) in reduced px."""
    side = max(3, int(0.3 * math.sqrt(unit)) | 1)
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (side, side))
    opened = cv2.morphologyEx(solid, cv2.MORPH_OPEN, disc, borderType=cv2.BORDER_CONSTANT, borderValue=0)
    _, bodies, stats, centroids = cv2.connectedComponentsWithStats(opened, connectivity=8)
    found, reaches = [], {}
    for body in range(1, len(stats)):
        x, y, w, h, area = stats[body]
        if area < 0.2 * unit:
            continue
        mine = (bodies[y : y + h, x : x + w] == body).astype(np.uint8)
        (cx, cy), (a, b), angle = cv2.minAreaRect(cv2.findNonZero(mine))
        turn = math.radians(angle if a >= b else angle + 90)
        piece = labels[int(round(centroids[body][1])), int(round(centroids[body][0]))]
        found.append(([cx + x, cy + y], max(a, b) + 1, min(a, b) + 1, turn, piece))
    for centre, _, _, turn, piece in found:
        if piece == 0 or sum(other[4] == piece for other in found) > 1:
            continue
        _, x, y, w, h, _ = pieces[piece - 1]
        mine = ((labels[y : y + h, x : x + w] == piece) & (solid[y : y + h, x : x + w] > 0)).astype(np.uint8)
        every = cv2.findNonZero(mine)[:, 0, :] + np.array([x, y]) - centre
        axes = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
        reaches[piece] = np.abs(every @ axes).max(axis=0) + 0.5
    usual = np.median(list(reaches.values()), axis=0) if reaches else None
    return [(*f[:4], reaches.get(f[4], usual if usual is not None else np.array([f[1], f[2]]) / 2)) for f in found]


def side_profiles(image, centre, length, width, turn, search):
    """Per side: (places along it, places of the samples along its outward normal, samples)."""
    for side in range(4):
        angle = turn + side * math.pi / 2
        c, s = math.cos(angle), math.sin(angle)
        half, reach = (length / 2, width) if side % 2 == 0 else (width / 2, length)
        t = np.linspace(-0.42, 0.42, 60) * reach
        n = np.arange(-search, search, 0.5) + half
        x = (centre[0] + c * n[None, :] - s * t[:, None]).astype(np.float32)
        y = (centre[1] + s * n[None, :] + c * t[:, None]).astype(np.float32)
        yield t, n, cv2.remap(image, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)


def fit_edges(image, centre, length, width, turn, search):
    """The four edges at full size: (centre, length, width, turn), or None when a side has too few points."""
    for _ in range(2):
        sides, lines = list(side_profiles(image, centre, length, width, turn, search)), []
        inside = min(np.quantile(profiles[:, :3], 0.25) for _, _, profiles in sides)
        outside = np.median([np.quantile(profiles[:, -3:], 0.25) for _, _, profiles in sides])
        level = (inside + outside) / 2
        for t, n, profiles in sides:
            falls = (profiles[:, :-1] >= level) & (profiles[:, 1:] < level)
            rows = np.flatnonzero(falls.any(axis=1))
            if len(rows) < 8:
                return None
            k = falls[rows].argmax(axis=1)
            before, after = profiles[rows, k], profiles[rows, k + 1]
            place = n[0] + 0.5 * (k + (before - level) / (before - after))
            keep = np.abs(place - np.median(place)) < 4 + 0.03 * np.ptp(t)
            for _ in range(3):
                slope, offset = np.polyfit(t[rows][keep], place[keep], 1)
                off = np.abs(place - slope * t[rows] - offset)
                keep = off < max(0.5, 2.5 * 1.4826 * np.median(off))
            lines.append((slope, offset, np.count_nonzero(keep) * np.ptp(t) ** 2))
        slopes, (right, bottom, left, top), weights = np.array(lines).T
        c, s = math.cos(turn), math.sin(turn)
        u, v = (right - left) / 2, (bottom - top) / 2
        centre = [centre[0] + c * u - s * v, centre[1] + s * u + c * v]
        length, width = right + left, bottom + top
        turn -= float(np.average(slopes, weights=weights))
    return centre, length, width, turn


def reduced_for(attenuation, longest, sigma):
    height, width = attenuation.shape
    by = max(1, -(-max(height, width) // longest))
    size = (-(-width // by), -(-height // by))
    reduced = cv2.resize(attenuation, size, interpolation=cv2.INTER_AREA) if by > 1 else attenuation
    return reduced, by, standing(plateaus(reduced, sigma / by), (12 / by) ** 2)


def find_parts(attenuation, sigma):
    """Parts as dicts {centrePx, lengthPx, widthPx, angleRad, reachPx, fitted, cut}, unordered."""
    reduced, by, found = reduced_for(attenuation, 300, sigma)
    if not (found and found[0]["count"] == 1 and found[0]["unit"] > 0.1 * reduced.size):
        reduced, by, found = reduced_for(attenuation, 640, sigma)
    if not found:
        return []
    labels, solid, pieces = cut(reduced, math.sqrt(found[0]["from"] * found[0]["to"]))
    parts = []
    for centre, length, width, turn, reach in coarse_bodies(labels, solid, pieces, found[0]["unit"]):
        body = [v * by + (by - 1) / 2 for v in centre], length * by, width * by, turn
        leaves = leaves_picture(attenuation.shape, body, 1.5 * by)
        fitted = None if leaves else fit_edges(attenuation, *body, max(3 * by + 3, 0.05 * width * by))
        centre, length, width, turn = fitted or body
        reach = [float(r) * by for r in reach]
        if width > length:
            length, width, turn, reach = width, length, turn + math.pi / 2, reach[::-1]
        parts.append({"centrePx": [float(v) for v in centre], "lengthPx": float(length), "widthPx": float(width),
                      "angleRad": float(turn), "reachPx": reach, "fitted": fitted is not None, "cut": leaves})
    return parts


def leaves_picture(shape, body, margin):
    (cx, cy), length, width, turn = body
    corners = cv2.boxPoints(((cx, cy), (length, width), math.degrees(turn)))
    limit = np.array(shape[::-1]) - 1 - margin
    return bool((corners < margin).any() or (corners > limit).any())


def reference(job):
    def prepare(folder, data):
        import json

        given = json.loads((folder / f"{job}.json").read_text())
        image = np.fromfile(folder / f"{job}.f32", np.float32).reshape(given["height"], given["width"])
        return lambda: find_parts(image, given["sigma"])

    return prepare
