"""papers/: two small drawings that stand in for photographs."""

import dock
from writing import write_bytes, write_csv

PAPERS = [
    ("block-13.png", "photograph", "13;P1", "2006-09-07T17:50", dock.BLOCK_FOREMAN,
     "Block 13 with two caps side by side, in place of the old one that had split.", "yes"),
    ("ash-ejector.png", "photograph", "OB13", "2006-09-11T14:10", dock.SECOND_ENGINEER,
     "Discharge OB13 of the ash ejector, its flap seized open. To be blanked.", "yes"),
]


def block_13(pictures):
    s = pictures.Sketch()
    pictures.floor(s, 350)
    s.box(130, 240, 380, 110, pictures.PALE)
    s.box(145, 165, 170, 75, pictures.LIGHT)
    s.box(325, 165, 170, 75, pictures.LIGHT)
    s.box(145, 120, 170, 45, pictures.MIDDLE)
    s.box(325, 120, 170, 45, pictures.MIDDLE)
    s.box(0, 70, pictures.WIDTH, 50, pictures.DARK)
    s.words(320, 296, "13", 36)
    return s


def ash_ejector(pictures):
    s = pictures.Sketch(pictures.LIGHT)
    for y in (70, 210, 350):
        s.line([(0, y), (pictures.WIDTH, y)], 2)
    s.disc(320, 210, 92, pictures.MIDDLE, 3)
    s.disc(320, 210, 66, pictures.INK, 2)
    s.area([(262, 130), (378, 130), (398, 182), (242, 182)], pictures.PAPER, 3)
    s.words(320, 382, "OB13", 28)
    return s


def make():
    columns = ["file", "kind", "about", "taken_at", "by", "caption", "in_report"]
    write_csv("papers/papers.csv", columns, [dict(zip(columns, paper)) | {"taken_at": dock.without_offset(paper[3])} for paper in PAPERS])
    try:
        import pictures
    except ImportError:
        print("Pillow is not installed: pictures left as they are")
        return
    write_bytes("papers/block-13.png", block_13(pictures).png())
    write_bytes("papers/ash-ejector.png", ash_ejector(pictures).png())
