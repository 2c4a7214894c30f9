"""Registration of one part to another over turns and mirror images, with OpenCV: the steps of
src/inspections/lot/placing/align-lot.ts in the way one would take with a general-purpose library.

The bodies of both parts are given. Every start pose is slid into place on the smallest level of a pyramid
(findTransformECC), the best are followed level by level to full size, the best correlation wins.

Against ours it does more in fitting six parameters (findTransformECC has no similarity) and less in making no
choice of pixels: every pixel counts, where ours takes the steepest ones once per reference.
"""
import math

import cv2
import numpy as np

MOST_ITERATIONS = 20
# Gain in correlation at which an iteration is the last. 1e-5 ends within 0.002 px of where 1e-9 does (measured on the
# bench's pairs), which is the step at which ours ends; 1e-6 takes a third longer for nothing.
ENOUGH, ENOUGH_COARSE = 1e-5, 1e-4


def pyramid(image, least=48):
    """Halvings as area means; level n is 2**n times smaller."""
    levels = [image]
    while max(levels[-1].shape) >= 2 * least:
        height, width = (side // 2 * 2 for side in levels[-1].shape)
        half = cv2.resize(levels[-1][:height, :width], (width // 2, height // 2), interpolation=cv2.INTER_AREA)
        levels.append(half)
    return levels


def template_levels(image):
    """[(reduced by, picture)], halved down to about 56 px."""
    levels = [(1, image)]
    while max(image.shape) / (2 * levels[-1][0]) >= 56:
        by, last = levels[-1]
        height, width = (side // 2 * 2 for side in last.shape)
        half = cv2.resize(last[:height, :width], (width // 2, height // 2), interpolation=cv2.INTER_AREA)
        levels.append((2 * by, half))
    return levels


def between_reduced(matrix, of, to):
    """A 2x3 map between full sizes as seen between pictures reduced `of` and `to` times."""
    turn = matrix[:, :2] * of / to
    shift = (matrix[:, :2].sum(axis=1) * (of - 1) / 2 + matrix[:, 2] - (to - 1) / 2) / to
    return np.column_stack([turn, shift])


def from_reduced(matrix, of, to):
    turn = matrix[:, :2] * to / of
    shift = to * matrix[:, 2] + (to - 1) / 2 - turn.sum(axis=1) * (of - 1) / 2
    return np.column_stack([turn, shift])


def pose(frame, body, turn_deg, mirrored, scale):
    """Frame pixel -> part pixel when the bodies lie on each other."""
    angle = body["angleRad"] + math.radians(turn_deg)
    c, s = (f(angle) * frame["reducedBy"] * scale for f in (math.cos, math.sin))
    flip = -1 if mirrored else 1
    turn = np.array([[c, -s * flip], [s, c * flip]])
    return np.column_stack([turn, np.array(body["centrePx"]) - turn @ np.array(frame["body"]["centrePx"])])


def slide(level, levels, matrix, frame):
    """One findTransformECC at one size; None when it does not converge."""
    by, template = level
    depth = max(0, min(len(levels) - 1, round(math.log2(frame["reducedBy"] * by))))
    start = between_reduced(matrix, by, 2**depth).astype(np.float32)
    ends = (cv2.TERM_CRITERIA_COUNT | cv2.TERM_CRITERIA_EPS, MOST_ITERATIONS, ENOUGH if by == 1 else ENOUGH_COARSE)
    try:
        rho, found = cv2.findTransformECC(template, levels[depth], start, cv2.MOTION_AFFINE, ends, None, 1)
    except cv2.error:
        return None
    return rho, from_reduced(found.astype(float), by, 2**depth)


def plausible(matrix, start, frame):
    centre = np.array([*frame["body"]["centrePx"], 1.0])
    size = math.hypot(start[0, 0], start[1, 0])
    grown = math.sqrt(abs(np.linalg.det(matrix[:, :2]))) / size
    moved = np.linalg.norm((matrix - start) @ centre)
    return moved < 0.12 * min(frame["width"], frame["height"]) * size + 3 and 0.85 < grown < 1.18


def coarse_poses(templates, levels, frame, body, turns, scale):
    found = []
    for mirrored in (False, True):
        for turn in turns:
            start = pose(frame, body, turn, mirrored, scale)
            slid = slide(templates[-1], levels, start, frame)
            if slid is not None and plausible(slid[1], start, frame):
                found.append(slid)
    return sorted(found, key=lambda one: -one[0])


def relative_size(frame, body, fitted):
    """The bodies' sizes, trusted where they nearly agree."""
    own = frame["body"]["lengthPx"] * frame["body"]["widthPx"] * frame["reducedBy"] ** 2
    ratio = math.sqrt(body["lengthPx"] * body["widthPx"] / own)
    return ratio if fitted and 0.85 < ratio < 1.18 else 1.0


def register(templates, levels, frame, body, fitted):
    """(correlation, frame pixel -> part pixel) of the best pose, or None."""
    square = min(b["lengthPx"] / b["widthPx"] for b in (body, frame["body"])) < 1.12
    scale = relative_size(frame, body, fitted)
    found = coarse_poses(templates, levels, frame, body, (0, 90, 180, 270) if square else (0, 180), scale)
    if not found or found[0][0] < 0.5:
        found += coarse_poses(templates, levels, frame, body, range(0, 360, 10), scale)
        found.sort(key=lambda one: -one[0])
    best = None
    for _, matrix in found[:4]:
        slid = (0, matrix)
        for level in reversed(templates):
            slid = slide(level, levels, slid[1], frame)
            if slid is None:
                break
        if slid is not None and (best is None or slid[0] > best[0]):
            best = slid
    return best


def reference(job):
    """The reference of a case: `job` names the files that the case wrote."""

    def prepare(folder, data):
        import json

        given = json.loads((folder / f"{job}.json").read_text())
        frame, part = given["frame"], given["part"]
        read = lambda name, of: np.fromfile(folder / name, np.float32).reshape(of["height"], of["width"])
        templates = template_levels(np.nan_to_num(read(f"{job}-template.f32", frame)))
        moving = read(f"{job}-part.f32", part)

        def run():
            found = register(templates, pyramid(moving), frame, part["body"], part["fitted"])
            return None if found is None else {"correlation": found[0], "map": found[1].ravel().tolist()}

        return run

    return prepare
