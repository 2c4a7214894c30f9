#!/usr/bin/python3
"""Hashes of the samples of single-channel TIFF files as OpenCV (libtiff) decodes them.

usage: simulated-tiff-hashes.py ROOT FOLDER... > simulated-tiff-hashes.csv

First 16 hex digits of SHA-256 over the first page's samples, row-major, little-endian; empty where
OpenCV gives nothing. ROOT is left out of the names.
"""
import csv
import hashlib
import pathlib
import sys

import cv2
import numpy as np

root = pathlib.Path(sys.argv[1])
out = csv.writer(sys.stdout, lineterminator="\n")
out.writerow(["file", "sha256_opencv"])
for folder in sys.argv[2:]:
    for path in sorted((root / folder).rglob("*.tif")):
        array = cv2.imread(str(path), cv2.IMREAD_UNCHANGED)
        digest = ""
        if array is not None:
            if array.ndim == 3:
                array = array[..., ::-1]
            array = np.ascontiguousarray(array)
            digest = hashlib.sha256(array.astype(array.dtype.newbyteorder("<")).tobytes()).hexdigest()[:16]
        out.writerow([path.relative_to(root).as_posix(), digest])
