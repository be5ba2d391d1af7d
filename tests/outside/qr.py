"""Reads the codes off pictures of pages, by PyPI zxing-cpp, and prints what each says, a line each.

    qr.py PICTURE...
"""

import sys

import numpy
import pymupdf
import zxingcpp

for path in sys.argv[1:]:
    picture = pymupdf.Pixmap(pymupdf.csGRAY, pymupdf.Pixmap(path))
    grey = numpy.frombuffer(picture.samples, numpy.uint8).reshape(picture.height, picture.stride)
    for code in zxingcpp.read_barcodes(grey[:, : picture.width]):
        print(code.format.name, code.text)
