"""The same steps in OpenCV, scipy and scikit-image, timed for `npm run bench`.

usage: reference.py FOLDER WIDTH HEIGHT THREADS REQUEST
FOLDER holds image.f32, samples.u16 and mask.u8; REQUEST is JSON [{name, runs, cold}]; cold: no run before the timed
ones. Prints JSON {versions, times, found}: times in ms, found what the last run returned, made JSON by `as_found`.

To add a reference: write a function taking (folder, data) that prepares and returns the function to be timed, and
enter it in REFERENCES under the case's name.
"""
import json
import sys
import time
from pathlib import Path

import cv2
import numpy as np
import scipy
from scipy import fft as spfft
from scipy import ndimage

sys.dont_write_bytecode = True
import reference_finding
import reference_lot
import reference_registration

TURN = np.array([[1.012, -0.1243, 80.3], [0.1243, 1.012, -60.7]])
NEAREST = cv2.BORDER_REPLICATE


class Data:
    def __init__(self, folder, width, height, threads):
        self.folder = folder
        self.threads = threads
        self.image = np.fromfile(folder / "image.f32", np.float32).reshape(height, width)
        self.samples = np.fromfile(folder / "samples.u16", np.uint16).reshape(height, width)
        self.mask = np.fromfile(folder / "mask.u8", np.uint8).reshape(height, width)

    def empty(self):
        return np.zeros(self.image.shape, np.float32)


def flat_and_log(folder, data):
    flat = np.full(data.samples.shape, 50000, np.uint16)
    dark = np.full(data.samples.shape, 100, np.uint16)
    out = data.empty()

    def run():
        signal = cv2.max(cv2.subtract(data.samples, dark, dtype=cv2.CV_32F), 1.0)
        return cv2.log(cv2.divide(flat.astype(np.float32), signal), out)

    return run


def gaussian(sigma):
    size = 2 * int(4 * sigma + 0.5) + 1

    def prepare(folder, data):
        out = data.empty()
        return lambda: cv2.GaussianBlur(data.image, (size, size), sigma, out, borderType=NEAREST)

    return prepare


def box_mean(folder, data):
    out = data.empty()
    return lambda: cv2.blur(data.image, (31, 31), out, borderType=NEAREST)


def median_3(folder, data):
    out = data.empty()
    return lambda: cv2.medianBlur(data.image, 3, out)


def absolute_difference(folder, data):
    out = data.empty()
    return lambda: cv2.absdiff(data.image, data.image, out)


def median_of_40(folder, data):
    width = data.image.shape[1]
    flat = data.image.ravel()
    parts = np.stack([flat[22 * k * width :][:90000].reshape(300, 300) for k in range(40)])
    return lambda: np.median(parts, axis=0)


def box_mean_variance(folder, data):
    def run():
        mean = cv2.blur(data.image, (31, 31), borderType=NEAREST)
        square = cv2.sqrBoxFilter(data.image, cv2.CV_32F, (31, 31), borderType=NEAREST)
        return mean, cv2.max(cv2.subtract(square, cv2.multiply(mean, mean)), 0.0)

    return run


def opening(folder, data):
    reach = np.arange(-7, 8)
    disc = (reach[:, None] ** 2 + reach[None, :] ** 2 <= 49).astype(np.uint8)
    out = data.empty()
    return lambda: cv2.morphologyEx(data.image, cv2.MORPH_OPEN, disc, out)


def binary_opening(folder, data):
    reach = np.arange(-3, 4)
    disc = (reach[:, None] ** 2 + reach[None, :] ** 2 <= 9).astype(np.uint8)
    return lambda: cv2.morphologyEx(data.mask, cv2.MORPH_OPEN, disc)


def reduce_by(factor):
    def prepare(folder, data):
        height, width = data.image.shape
        size = (-(-width // factor), -(-height // factor))
        out = np.zeros(size[::-1], np.float32)
        return lambda: cv2.resize(data.image, size, out, interpolation=cv2.INTER_AREA)

    return prepare


def warp(folder, data):
    height, width = data.image.shape
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    out = data.empty()
    return lambda: cv2.warpAffine(data.image, TURN, (width, height), out, flags=flags)


def fft_1024(folder, data):
    z = np.ascontiguousarray(data.image[:1024, :1024]).astype(np.complex64)
    return lambda: spfft.fft2(z, workers=data.threads)


def phase_correlation(folder, data):
    cut = np.ascontiguousarray(data.image[:256, :256])
    return lambda: cv2.phaseCorrelate(cut, cut)


def components(folder, data):
    return lambda: cv2.connectedComponentsWithStats(data.mask, connectivity=8)


def distance_transform(folder, data):
    return lambda: cv2.distanceTransform(data.mask, cv2.DIST_L2, cv2.DIST_MASK_PRECISE)


def fill_holes(folder, data):
    return lambda: ndimage.binary_fill_holes(data.mask)


def median_of_all(folder, data):
    return lambda: np.median(data.image)


def otsu(folder, data):
    def run():
        counts, edges = np.histogram(data.image, 256, (-0.2, 1.5))
        below = np.cumsum(counts)
        moment = np.cumsum(counts * (edges[:-1] + edges[1:]) / 2)
        with np.errstate(divide="ignore", invalid="ignore"):
            between = (moment[-1] * below - moment * below[-1]) ** 2 / (below * (below[-1] - below))
        return edges[1 + int(np.nanargmax(between))]

    return run


def accumulate(folder, data):
    total = data.image.copy()
    return lambda: cv2.scaleAdd(data.image, 0.1, total, total)


REFERENCES = {
    "flat and log": flat_and_log,
    "gaussian 1.5": gaussian(1.5),
    "gaussian 8": gaussian(8),
    "box mean 31": box_mean,
    "box mean and variance 31": box_mean_variance,
    "median 3": median_3,
    "opening disc 15": opening,
    "reduce by 2": reduce_by(2),
    "reduce by 4": reduce_by(4),
    "warp": warp,
    "fft 1024": fft_1024,
    "phase correlation 256": phase_correlation,
    "components": components,
    "distance transform": distance_transform,
    "binary opening disc 3": binary_opening,
    "fill holes": fill_holes,
    "median of all": median_of_all,
    "otsu": otsu,
    "absolute difference": absolute_difference,
    "median of 40 parts": median_of_40,
    "accumulate": accumulate,
    "register, 4 poses": reference_registration.reference("register-4"),
    "register, 8 poses": reference_registration.reference("register-8"),
    "register, 72 poses": reference_registration.reference("register-72"),
    "find parts, tray of 6": reference_finding.reference("find-tray"),
    "find part, alone": reference_finding.reference("find-alone"),
    "lot of 40": reference_lot.reference("lot"),
    "trays of 40": reference_lot.reference("lot-trays"),
}

PROBES = 1009


def as_found(result):
    """A result as JSON: pictures as {size, at}, their values at PROBES places spread evenly over them."""
    if isinstance(result, np.ndarray) and result.size > PROBES:
        flat = np.real(result).ravel()
        return {"size": flat.size, "at": flat[np.arange(PROBES) * flat.size // PROBES].astype(float).tolist()}
    if isinstance(result, np.ndarray):
        return np.asarray(result, float).tolist()
    if isinstance(result, (tuple, list)):
        return [as_found(one) for one in result]
    if isinstance(result, np.generic):
        return result.item()
    return result


def main():
    folder, width, height, threads, request = sys.argv[1:]
    data = Data(Path(folder), int(width), int(height), int(threads))
    cv2.setNumThreads(data.threads)
    times, found = {}, {}
    for wanted in json.loads(request):
        prepare = REFERENCES.get(wanted["name"])
        if prepare is None:
            continue
        run = prepare(data.folder, data)
        if not wanted["cold"]:
            run()
        taken = []
        for _ in range(wanted["runs"]):
            start = time.perf_counter()
            result = run()
            taken.append((time.perf_counter() - start) * 1000)
        times[wanted["name"]] = taken
        found[wanted["name"]] = as_found(result)
    versions = {"opencv": cv2.__version__, "scipy": scipy.__version__, "numpy": np.__version__}
    print(json.dumps({"versions": versions, "times": times, "found": found}))


main()
