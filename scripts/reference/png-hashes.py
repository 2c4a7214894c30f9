#!/usr/bin/python3
"""Hashes of PNG samples as stored, by Pillow and OpenCV: the outside check of src/formats/png.

usage: png-hashes.py ROOT FOLDER... > png-hashes.csv

ROOT is left out of the names written; every *.png below ROOT/FOLDER is decoded. A hash is the first
16 hex digits of SHA-256 over the samples, row-major, channels interleaved, one byte a sample up to
8 bits and two bytes little-endian at 16. Both libraries change some kinds of picture on the way:
what can be undone exactly is undone (Pillow stretches 2- and 4-bit grey by 85 and 17; OpenCV puts
blue first, repeats grey beside alpha, adds alpha for tRNS), what cannot is left empty (Pillow keeps
8 of 16 bits in colour; OpenCV has no palette indexes and stretches grey below 8 bits).
"""
import csv
import hashlib
import pathlib
import struct
import sys

import cv2
import numpy as np
from PIL import Image, ImageFile, PngImagePlugin

PngImagePlugin.MAX_TEXT_CHUNK = 64 * 1024 * 1024
ImageFile.LOAD_TRUNCATED_IMAGES = False
COLOURS = {0: ("grey", 1), 2: ("rgb", 3), 3: ("palette", 1), 4: ("grey-alpha", 2), 6: ("rgb-alpha", 4)}


def digest(array):
    array = np.ascontiguousarray(array)
    if array.dtype == np.uint16:
        array = array.astype("<u2")
    return hashlib.sha256(array.tobytes()).hexdigest()[:16]


def by_pillow(path, bits, colour):
    with Image.open(path) as image:
        image.load()
        array = np.array(image)
        mode = image.mode
    if colour == "grey" and bits == 16:
        return array.astype(np.uint16) if mode.startswith("I") else None
    if bits == 16:
        return None
    if colour == "grey" and bits in (2, 4):
        step = 85 if bits == 2 else 17
        assert mode == "L" and not np.any(array % step)
        return array // step
    expected = {"grey": "1" if bits == 1 else "L", "rgb": "RGB", "palette": "P", "grey-alpha": "LA", "rgb-alpha": "RGBA"}
    if mode != expected[colour]:
        return None
    return array.astype(np.uint8)


def by_opencv(path, bits, colour):
    if colour == "palette" or bits < 8:
        return None
    array = cv2.imread(str(path), cv2.IMREAD_UNCHANGED)
    if array is None:
        return None
    if colour == "grey":
        return array if array.ndim == 2 else array[..., 0]
    if colour == "grey-alpha":
        return array[..., [0, 3]] if array.ndim == 3 and array.shape[2] == 4 else None
    if array.ndim != 3:
        return None
    if colour == "rgb":
        return array[..., [2, 1, 0]]
    return array[..., [2, 1, 0, 3]] if array.shape[2] == 4 else None


def attempt(decode, *arguments):
    try:
        array = decode(*arguments)
    except Exception as error:  # noqa: BLE001  (any refusal is a row of the table)
        return "", type(error).__name__
    return ("", "not kept as stored") if array is None else (digest(array), "")


def main():
    root = pathlib.Path(sys.argv[1])
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow("file width height bits colour sha256_pillow sha256_opencv pillow_says opencv_says".split())
    for folder in sys.argv[2:]:
        for path in sorted((root / folder).rglob("*.png")):
            head = path.read_bytes()[:29]
            name = path.relative_to(root).as_posix()
            if len(head) < 29 or head[12:16] != b"IHDR":
                out.writerow([name, "", "", "", "no IHDR", "", "", "", ""])
                continue
            width, height, bits, colour_type = struct.unpack(">IIBB", head[16:26])
            colour = COLOURS.get(colour_type, ("unknown", 0))[0]
            pillow, pillow_says = attempt(by_pillow, path, bits, colour)
            opencv, opencv_says = attempt(by_opencv, path, bits, colour)
            out.writerow([name, width, height, bits, colour, pillow, opencv, pillow_says, opencv_says])


main()
