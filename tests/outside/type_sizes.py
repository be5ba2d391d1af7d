"""How large the letters of PDFs are, by PyPI pymupdf, and where their drawings stand, by PyPI pikepdf: letters under 8 pt
outside of drawings, and under 7 pt in them, are printed, and the status is 1 then. Formulas raise figures of 6 pt.

    type_sizes.py FILE...

Figures and letters raised or lowered beside others count with the line that they stand in.
"""

import sys
from collections import Counter

import pikepdf
import pymupdf

LEAST = {None: 8.0, "/Figure": 7.0, "/Formula": 6.0}
# Sizes come with the rounding of the file's numbers.
SURE = 0.05


def drawings(path):
    """The boxes of all figures and formulas, by page: tag, left, bottom, right, top."""
    found = {}
    with pikepdf.open(path) as pdf:
        numbers = {page.obj.objgen: n for n, page in enumerate(pdf.pages)}
        for one in pdf.objects:
            if not isinstance(one, pikepdf.Dictionary) or one.get("/S") not in ("/Figure", "/Formula"):
                continue
            attributes = one.get("/A", [])
            for attribute in attributes if isinstance(attributes, pikepdf.Array) else [attributes]:
                if "/BBox" in attribute:
                    page = one.get("/Pg") or next((kid["/Pg"] for kid in one["/K"] if isinstance(kid, pikepdf.Dictionary)), None)
                    box = [str(one["/S"]), *(float(edge) for edge in attribute["/BBox"])]
                    found.setdefault(None if page is None else numbers[page.objgen], []).append(box)
    return found


def look_at(path):
    figures = drawings(path)
    small = Counter()
    letters = Counter()
    with pymupdf.open(path) as pdf:
        for number, page in enumerate(pdf):
            height = page.mediabox.height
            boxes = figures.get(number, []) + figures.get(None, [])
            for block in page.get_text("dict")["blocks"]:
                for line in block.get("lines", []):
                    largest = max(span["size"] for span in line["spans"])
                    for span in line["spans"]:
                        text = span["text"].strip()
                        left, top, right, bottom = span["bbox"]
                        x, y = (left + right) / 2, height - (top + bottom) / 2
                        drawn = next((tag for tag, *b in boxes if b[0] <= x <= b[2] and b[1] <= y <= b[3]), None)
                        letters["drawn" if drawn else "set"] += len(text)
                        if text and largest < LEAST[drawn] - SURE:
                            small[(number + 1, round(largest, 2), (drawn or "/Text").strip("/").lower(), text[:40])] += 1
    for (page, size, where, text), times in sorted(small.items()):
        print(f"{path}: page {page}: {size} pt in {where}: {text!r}" + (f" ({times} times)" if times > 1 else ""))
    print(f"{path}: {letters['set']} letters set, {letters['drawn']} in drawings")
    return len(small) + (letters["set"] == 0)


if len(sys.argv) < 2:
    sys.exit("no file was named")
sys.exit(1 if sum(look_at(path) for path in sys.argv[1:]) else 0)
