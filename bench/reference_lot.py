"""A lot of 40 with OpenCV and numpy, from picture files to the odd parts.

Per picture: imread, open beam as a fitted quadratic surface, -log, find the parts, cut them out. Then: the part of
middling size is the reference, all are registered to it over turns and mirror images, brought into its frame, their
tone fitted (gain and offset), the median taken and each part's difference from it. A part is odd whose share of
pixels beyond the lot's spread is beyond the median share by six robust deviations.

Against ours it does less: polarity, clipping and grey steps are taken as given; nothing inside is measured (die,
pad, leads, wires); no groups, no poses that fit equally well, no change of reference, no call with a box and a reason.
"""
import json
import resource
import time

import cv2
import numpy as np

from reference_finding import find_parts
from reference_registration import between_reduced, pyramid, register, template_levels

MOST_FRAME_PX = 400_000
COMPARE_PX = 240


def attenuation_of(path):
    """(-ln(I / I0), its noise in open field) with I0 a quadratic surface through the brightest cells."""
    grey = cv2.imread(str(path), cv2.IMREAD_UNCHANGED).astype(np.float32)
    height, width = grey.shape
    cells = cv2.resize(grey, (width // 8, height // 8), interpolation=cv2.INTER_AREA)
    y, x = np.mgrid[-1 : 1 : cells.shape[0] * 1j, -1 : 1 : cells.shape[1] * 1j]
    terms = lambda x, y: np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=-1)
    open_field = cells > 0.93 * np.quantile(cells, 0.99)
    for _ in range(3):
        fit, *_ = np.linalg.lstsq(terms(x[open_field], y[open_field]), cells[open_field], rcond=None)
        surface = terms(x, y) @ fit
        off = cells / surface - 1
        spread = 1.4826 * np.median(np.abs(off[open_field]))
        open_field = np.abs(off) < max(3 * spread, 0.002)
    beam = cv2.resize(surface.astype(np.float32), (width, height), interpolation=cv2.INTER_LINEAR)
    image = cv2.log(cv2.divide(beam, cv2.max(grey, 0.5)))
    lit = cv2.resize(open_field.astype(np.uint8), (width, height), interpolation=cv2.INTER_NEAREST) > 0
    steps = np.diff(image, axis=1)[lit[:, 1:] & lit[:, :-1]]
    return image, float(1.4826 * np.median(np.abs(steps)) / np.sqrt(2))


def cut_out(image, part, picture):
    margin = max(6.0, 0.04 * part["lengthPx"])
    c, s = abs(np.cos(part["angleRad"])), abs(np.sin(part["angleRad"]))
    along, across = part["reachPx"]
    reach = np.array([along * c + across * s, along * s + across * c]) + margin
    low = np.maximum(0, np.floor(part["centrePx"] - reach)).astype(int)
    high = np.minimum(image.shape[::-1], np.ceil(part["centrePx"] + reach).astype(int) + 1)
    body = {**part, "centrePx": (np.array(part["centrePx"]) - low).tolist()}
    levels = pyramid(image[low[1] : high[1], low[0] : high[0]].copy())
    return {"picture": picture, "at": low, "body": body, "levels": levels, "found": part}


def frame_of(cut):
    body = cut["body"]
    margin = max(4.0, 0.03 * body["lengthPx"])
    half = np.array(body["reachPx"]) + margin
    by = max(1.0, float(np.sqrt(4 * half[0] * half[1] / MOST_FRAME_PX)))
    width, height = (max(8, round(2 * side / by)) for side in half)
    own = {"centrePx": [(width - 1) / 2, (height - 1) / 2], "lengthPx": body["lengthPx"] / by, "widthPx": body["widthPx"] / by}
    return {"width": width, "height": height, "reducedBy": by, "body": own}


def into_frame(frame, cut, matrix, by=1):
    depth = max(0, min(len(cut["levels"]) - 1, int(np.log2(frame["reducedBy"] * by))))
    size = (frame["width"] // by, frame["height"] // by)
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    return cv2.warpAffine(cut["levels"][depth], between_reduced(matrix, by, 2**depth), size, flags=flags)


def resting(frame, body):
    c, s = np.cos(body["angleRad"]) * frame["reducedBy"], np.sin(body["angleRad"]) * frame["reducedBy"]
    turn = np.array([[c, -s], [s, c]])
    return np.column_stack([turn, np.array(body["centrePx"]) - turn @ np.array(frame["body"]["centrePx"])])


def inspect(files):
    cuts, noises = [], []
    for path in files:
        image, sigma = attenuation_of(path)
        noises.append(sigma)
        cuts += [cut_out(image, part, path) for part in find_parts(image, sigma) if not part["cut"]]
    sizes = np.log([cut["body"]["lengthPx"] * cut["body"]["widthPx"] for cut in cuts])
    first = cuts[int(np.argmin(np.abs(sizes - np.median(sizes))))]
    frame = frame_of(first)
    templates = template_levels(into_frame(frame, first, resting(frame, first["body"])))
    by = max(1, round(frame["body"]["lengthPx"] / COMPARE_PX))
    small, correlations = [], []
    for cut in cuts:
        found = register(templates, cut["levels"], frame, cut["body"], cut["body"]["fitted"])
        correlation, matrix = found or (0.0, resting(frame, cut["body"]))
        correlations.append(float(correlation))
        small.append(into_frame(frame, cut, matrix, by))
    target = into_frame(frame, first, resting(frame, first["body"]), by).ravel()
    toned = []
    for image in small:
        gain, offset = np.polyfit(image.ravel(), target, 1)
        toned.append(gain * image + offset)
    stack = np.stack(toned)
    middle = np.median(stack, axis=0)
    away = np.abs(stack - middle)
    spread = 1.4826 * np.median(away, axis=0) + max(4 * float(np.median(noises)), 0.03 * float(np.ptp(np.quantile(middle, [0.05, 0.95]))))
    kernel = np.ones((3, 3), np.uint8)
    beyond = np.array([np.count_nonzero(cv2.erode((a > 3 * spread).astype(np.uint8), kernel)) for a in away])
    usual = np.median(beyond)
    robust = 1.4826 * np.median(np.abs(beyond - usual))
    odd = beyond > usual + 6 * max(robust, 0.001 * middle.size)
    parts = [{"picture": str(cut["picture"]), "centrePx": cut["found"]["centrePx"], "odd": bool(o)} for cut, o in zip(cuts, odd)]
    return {"parts": parts, "leastCorrelation": min(correlations)}


def reference(job):
    def prepare(folder, data):
        files = json.loads((folder / f"{job}.json").read_text())["files"]

        def run():
            cpu, start = time.process_time(), time.perf_counter()
            found = inspect(files)
            took = {"ms": (time.perf_counter() - start) * 1000, "cpuMs": (time.process_time() - cpu) * 1000}
            return {**found, **took, "peakMiB": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024}

        return run

    return prepare
