"""Drawn pictures of paint, steel and anodes; see pictures.py for the way of drawing."""

from pictures import DARK, INK, LIGHT, MIDDLE, PALE, PAPER, WIDTH, Sketch, floor, hull_above, ring


def patch_k30():
    """Looking up at the flat keel: a blasted patch with feathered edges where a cap had been, and the next cap beside it."""
    s = Sketch(MIDDLE)
    s.area([(-5, 60), (WIDTH + 5, 44), (WIDTH + 5, 372), (-5, 360)], DARK, 2)
    s.area([(98, 82), (372, 76), (380, 340), (92, 336)], MIDDLE, 0)
    s.area([(118, 100), (354, 95), (361, 322), (112, 318)], PALE, 0)
    for row in range(9):
        for column in range(12):
            s.disc(130 + 19 * column + 7 * (row % 2), 116 + 24 * row + 3 * (column % 3), 1.3, MIDDLE, 0)
    for x in (40, 430, 604):
        s.line([(x, 56), (x + 4, 366)], 1.4, INK)
    s.box(452, 52, 150, 318, PAPER)
    for y in (130, 208, 286):
        s.line([(452, y), (602, y - 2)], 1.4)
    s.words(527, 247, "K30", 28)
    s.line([(112, 392), (361, 392)], 1.6)
    s.arrow(230, 392, 113, 392)
    s.arrow(240, 392, 360, 392)
    s.box(190, 379, 94, 27, MIDDLE, 0)
    s.words(237, 392, "0.60 m", 20)
    return s


def pails_af4():
    s = Sketch()
    floor(s, 336)
    for x, y, label in ((128, 176, True), (318, 188, True), (504, 180, True)):
        s.area([(x - 78, y), (x - 70, y + 168), (x + 70, y + 168), (x + 78, y)], LIGHT, 2.4)
        s.area(ring(x, y + 168, 70, 14, 0, 180), LIGHT, 2)
        s.area(ring(x, y, 78, 17), PAPER, 2.4)
        s.area(ring(x, y, 66, 12), DARK, 1.4)
        s.line(ring(x, y + 30, 84, 86, 8, 172), 1.6)
        if label:
            s.box(x - 52, y + 46, 104, 84, PAPER, 1.4)
            s.words(x, y + 66, "AF4", 24)
            s.words(x, y + 92, "0408", 20)
            s.words(x, y + 116, "made 8.4.30", 15)
    s.line([(318, 192), (350, 66), (356, 64), (326, 194)], 3)
    return s


def anode_an17():
    s = Sketch()
    hull_above(s, 96, (110, 540))
    s.line([(320, 96), (320, 142)], 3)
    s.box(262, 142, 116, 52, PAPER)
    s.words(320, 168, "12.9 kg", 24)
    s.line([(320, 194), (320, 236)], 3)
    s.line([(150, 268), (320, 236), (490, 268)], 2)
    s.area([(96, 284), (104, 266), (170, 262), (240, 270), (318, 262), (402, 269), (470, 263), (540, 268), (546, 288), (530, 330), (456, 338),
            (380, 330), (300, 340), (214, 331), (140, 338), (106, 326)], LIGHT, 2.6)
    for x, y, r in ((160, 300, 9), (214, 316, 6), (262, 292, 11), (330, 312, 8), (388, 296, 6), (438, 316, 10), (492, 296, 7), (300, 324, 5)):
        s.area(ring(x, y, r * 1.4, r), MIDDLE, 1.2)
    for x in (62, 546):
        s.box(x, 286, 40, 18, PALE)
    s.words(320, 386, "AN17", 28)
    return s


DRAWINGS = {"patch-k30": patch_k30, "pails-af4": pails_af4, "anode-an17": anode_an17}
