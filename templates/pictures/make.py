"""The pictures of README.md, cut out of the report of the sample by PyPI pymupdf; and its seal sheet, which stands beside it.

    make.py REPORT [FOLDER]

FOLDER is that of this script if none is given; every *.png in it is made anew. A page is found by words that stand
on it, so that the pictures follow the report when its pages move.
"""

import sys
from pathlib import Path

import pymupdf

# Each picture: how a heading or a caption of its page begins, how the heading begins before which it ends, and the dots
# to the inch. A caption ends its picture; one without any end takes all from the running head to the foot.
PICTURES = {
    "first-page": ("What was done", None, 110),
    "docking-plan": ("Drawing: Docking plan, position P1, scale", None, 110),
    "overlay": ("Drawing: Hidden in each position, laid over each other, scale", None, 90),
    "next-team": ("For the next team", "The shift to choose", 110),
    "coating": ("Drawing: Exceptions of the coating, scale", None, 120),
}

# Dots to the inch of the seal sheet: its small letters can just be read.
SHEET_DPI = 100

# Points of a page that running heads and feet take, and the white left round a picture.
HEAD, FOOT, WHITE = 56, 60, 8


def paragraphs(page, part):
    """The texts in a part of a page without numbers of headings and captions, each with where it begins and ends."""
    for _, top, _, bottom, text, *_ in page.get_text("blocks", clip=part):
        words = " ".join(text.split())
        drawing, colon, caption = words.partition(": ")
        if colon and drawing.rstrip("0123456789") == "Drawing ":
            words = f"Drawing: {caption}"
        yield words.lstrip("0123456789. "), top, bottom


def place(report, start, end):
    """The page that a picture is cut out of, and the part of it."""
    for page in report:
        part = pymupdf.Rect(0, HEAD, page.rect.width, page.rect.height - FOOT)
        found = list(paragraphs(page, part))
        bottoms = [bottom for words, _, bottom in found if words.startswith(start)]
        if not bottoms:
            continue
        if start.startswith("Drawing: "):
            part.y1 = bottoms[0]
        if end:
            tops = [top for words, top, _ in found if words.startswith(end)]
            if not tops:
                sys.exit(f"no {end!r} on the page with {start!r}")
            # Capitals may reach a little over what a font says of itself.
            part.y1 = tops[0] - WHITE / 2
        return page, part
    sys.exit(f"no page with {start!r}")


def trimmed(page, part):
    """The part without the white round what is drawn in it."""
    pixels = page.get_pixmap(dpi=72, clip=part, colorspace=pymupdf.csGRAY)
    starts = range(0, len(pixels.samples), pixels.stride)
    rows = [pixels.samples[at : at + pixels.width] for at in starts]
    drawn = [(n, at) for n, row in enumerate(rows) for at, shade in enumerate(row) if shade < 250]
    columns = [at for _, at in drawn]
    box = pymupdf.Rect(min(columns), drawn[0][0], max(columns) + 1, drawn[-1][0] + 1)
    box = box + (pixels.x, pixels.y) * 2 + (-WHITE, -WHITE, WHITE, WHITE)
    # What comes next on the page may begin nearer than that.
    box.y1 = min(box.y1, part.y1)
    return box


def main():
    report = pymupdf.open(sys.argv[1])
    folder = Path(sys.argv[2]) if len(sys.argv) > 2 else Path(__file__).resolve().parent
    made = {}
    for name, (start, end, dpi) in PICTURES.items():
        page, part = place(report, start, end)
        clip = trimmed(page, part)
        made[name] = page.get_pixmap(dpi=dpi, clip=clip, colorspace=pymupdf.csGRAY)
    sheet = pymupdf.open(sys.argv[1].replace("-report.pdf", "-seal.pdf"))[0]
    made["seal-sheet"] = sheet.get_pixmap(dpi=SHEET_DPI, clip=trimmed(sheet, sheet.rect), colorspace=pymupdf.csGRAY)
    # Only once all are made.
    for old in folder.glob("*.png"):
        old.unlink()
    for name, picture in made.items():
        picture.save(folder / f"{name}.png")


main()
