#!/usr/bin/python3
"""Tiny pictures written by Pillow (libtiff), OpenCV (libtiff, libpng) and tifffile, with a hash of their samples.

usage: format-fixtures.py FOLDER

Writes the files and `expected.json`, which holds for each the SHA-256 of the samples that went in. The
JPEGs alone list what Pillow decodes from them, since decoders may differ in the last bit. The pictures are invented patterns.
Made with: see the versions at the head of expected.json.
"""
import hashlib
import json
import pathlib
import sys

import cv2
import numpy as np
import PIL
import tifffile
from PIL import Image

folder = pathlib.Path(sys.argv[1])
folder.mkdir(parents=True, exist_ok=True)
expected = {}

rows, columns = np.mgrid[0:37, 0:53]
grey16 = ((rows * 1291 + columns * 977 + (rows * columns) % 251) % 65536).astype(np.uint16)
grey8 = (grey16 >> 8).astype(np.uint8)
bits = ((rows // 3 + columns // 5) % 2).astype(bool)
rgb8 = np.stack([grey8, 255 - grey8, (rows * 5).astype(np.uint8)], axis=-1)
rgb16 = np.stack([grey16, 65535 - grey16, (rows * 1000).astype(np.uint16)], axis=-1)
floats = (grey16 / 7.0 - 3000.0).astype(np.float32)
signed = (grey16.astype(np.int32) - 32768).astype(np.int16)


def digest(samples):
    """Over the samples row-major, little-endian; half floats as the 32-bit floats they equal."""
    if samples.dtype == np.float16:
        samples = samples.astype(np.float32)
    samples = np.ascontiguousarray(samples)
    return hashlib.sha256(samples.astype(samples.dtype.newbyteorder("<")).tobytes()).hexdigest()


def jpeg(name, samples, **options):
    more = options.pop("more", {})
    Image.fromarray(samples).save(folder / name, quality=90, **options)
    decoded = np.array(Image.open(folder / name))
    add(name, decoded, "Pillow", decoded=decoded.ravel().tolist(), **more)


def add(name, samples, by, **more):
    kind = "float" if samples.dtype.kind == "f" else "signed" if samples.dtype.kind == "i" else "unsigned"
    expected[name] = {
        "by": by,
        "width": samples.shape[1],
        "height": samples.shape[0],
        "channels": 1 if samples.ndim == 2 else samples.shape[2],
        "sampleType": kind,
        "sha256": digest(samples),
        **more,
    }


def opencv(name, samples, parameters=(), **more):
    stored = samples[..., ::-1] if samples.ndim == 3 else samples
    assert cv2.imwrite(str(folder / name), stored, list(parameters))
    add(name, samples, "OpenCV", **more)


def pillow(name, samples, **options):
    more = options.pop("more", {})
    Image.fromarray(samples).save(folder / name, **options)
    add(name, samples, "Pillow", **more)


def tiff(name, samples, **options):
    more = options.pop("more", {})
    tifffile.imwrite(folder / name, samples, metadata=None, software=False, **options)
    add(name, samples, "tifffile", **more)


lzw, deflate, plain = 5, 8, 1
opencv("lzw-predictor-16.tif", grey16, [cv2.IMWRITE_TIFF_COMPRESSION, lzw])
opencv("lzw-predictor-8.tif", grey8, [cv2.IMWRITE_TIFF_COMPRESSION, lzw])
opencv("lzw-predictor-rgb-16.tif", rgb16, [cv2.IMWRITE_TIFF_COMPRESSION, lzw])
opencv("deflate-predictor-16.tif", grey16, [cv2.IMWRITE_TIFF_COMPRESSION, deflate])
opencv("plain-8.tif", grey8, [cv2.IMWRITE_TIFF_COMPRESSION, plain])
pillow("lzw-16.tif", grey16, compression="tiff_lzw")
pillow("packbits-8.tif", grey8, compression="packbits")
pillow("packbits-1.tif", bits, compression="packbits")
pillow("deflate-rgb-8.tif", rgb8, compression="tiff_adobe_deflate")
pillow("resolution-cm.tif", grey8, resolution_unit=3, x_resolution=100.0, y_resolution=200.0,
       more={"umPerPx": [100, 50]})
tiff("big-endian-16.tif", grey16, byteorder=">")
tiff("big-endian-float.tif", floats, byteorder=">", compression="zlib")
tiff("tiled-16.tif", grey16, tile=(16, 32), compression="zlib")
tiff("tiled-planar-rgb-8.tif", np.moveaxis(rgb8, 2, 0), tile=(16, 16), planarconfig="separate", photometric="rgb")
add("tiled-planar-rgb-8.tif", rgb8, "tifffile")
tiff("bigtiff-16.tif", grey16, bigtiff=True, rowsperstrip=5)
tiff("min-is-white-16.tif", grey16, photometric="miniswhite", more={"photometric": "min-is-white"})
tiff("signed-16.tif", signed)
tiff("double.tif", floats.astype(np.float64))
tiff("half-float.tif", (grey8 / 16.0).astype(np.float16))
tiff("two-pages-16.tif", np.stack([grey16, grey16[::-1]]))
add("two-pages-16.tif", grey16, "tifffile", pages=2)
opencv("grey-16.png", grey16)
opencv("grey-8.png", grey8)
opencv("rgb-16.png", rgb16)
pillow("grey-1.png", bits)
pillow("rgb-8.png", rgb8, dpi=(254, 254), more={"umPerPx": [100, 100]})
jpeg("grey.jpg", grey8, dpi=(254, 254), more={"umPerPx": [100, 100]})
jpeg("rgb-progressive.jpg", rgb8, progressive=True, subsampling=0)

versions = {"opencv": cv2.__version__, "pillow": PIL.__version__, "tifffile": tifffile.__version__}
document = {"madeBy": "scripts/reference/format-fixtures.py", "versions": versions, "files": expected}
(folder / "expected.json").write_text(json.dumps(document, separators=(",", ":")) + "\n")
