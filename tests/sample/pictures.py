"""The drawn pictures that stand in for photographs: grey line drawings, one function each. Needs Pillow."""

import io
from math import cos, pi, radians, sin

from PIL import Image, ImageDraw, ImageFont

WIDTH, HEIGHT = 640, 420
FINER = 3  # drawn so many times larger, then reduced, which smooths the lines
GREYS = 16

PAPER, PALE, LIGHT, MIDDLE, DARK, INK = 250, 232, 205, 160, 110, 25


class Sketch:
    """A sheet with a few ways of drawing on it; all sizes in pixels of the finished picture."""

    def __init__(self, ground=PAPER):
        self.image = Image.new("L", (WIDTH * FINER, HEIGHT * FINER), ground)
        self.pen = ImageDraw.Draw(self.image)

    def line(self, points, width=2, ink=INK):
        self.pen.line([(x * FINER, y * FINER) for x, y in points], fill=ink, width=round(width * FINER), joint="curve")

    def dashes(self, a, b, width=2.0, long=8.0):
        count = max(1, round(((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5 / long / 2))
        for k in range(count):
            begin, end = k / count, (k + 0.55) / count
            self.line([(a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t) for t in (begin, end)], width)

    def area(self, points, fill, width=2, ink=INK):
        self.pen.polygon([(x * FINER, y * FINER) for x, y in points], fill=fill)
        if width:
            self.line(list(points) + list(points[:2]), width, ink)

    def box(self, x, y, wide, high, fill, width=2):
        self.area([(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)], fill, width)

    def disc(self, x, y, radius, fill, width=2):
        self.area(ring(x, y, radius, radius), fill, width)

    def hatch(self, points, step=9, ink=DARK, width=1.2):
        """Diagonal hatching inside an outline."""
        mask = Image.new("L", self.image.size, 0)
        ImageDraw.Draw(mask).polygon([(x * FINER, y * FINER) for x, y in points], fill=255)
        strokes = Image.new("L", self.image.size, 0)
        pen = ImageDraw.Draw(strokes)
        for start in range(-HEIGHT, WIDTH, step):
            pen.line([(start * FINER, HEIGHT * FINER), ((start + HEIGHT) * FINER, 0)], fill=255, width=round(width * FINER))
        both = Image.composite(strokes, Image.new("L", self.image.size, 0), mask)
        self.image.paste(ink, (0, 0), both)

    def words(self, x, y, text, size=18, ink=INK, anchor="mm"):
        self.pen.text((x * FINER, y * FINER), text, fill=ink, font=ImageFont.load_default(size * FINER), anchor=anchor)

    def arrow(self, x0, y0, x1, y1, width=1.6, head=9):
        self.line([(x0, y0), (x1, y1)], width)
        length = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
        ux, uy = (x1 - x0) / length, (y1 - y0) / length
        back = (x1 - ux * head, y1 - uy * head)
        self.area([(x1, y1), (back[0] - uy * head / 3, back[1] + ux * head / 3), (back[0] + uy * head / 3, back[1] - ux * head / 3)], INK, 0)

    def png(self):
        """Reduced, in few greys, framed, without any metadata."""
        small = self.image.resize((WIDTH, HEIGHT), Image.Resampling.BOX)
        step = 256 // GREYS
        small = small.point([min(255, (level // step) * step * 255 // (256 - step)) for level in range(256)])
        ImageDraw.Draw(small).rectangle([0, 0, WIDTH - 1, HEIGHT - 1], outline=0)
        out = io.BytesIO()
        small.save(out, "PNG", optimize=True)
        return out.getvalue()


def ring(x, y, wide, high, begin=0.0, end=360.0, count=60):
    """Points on an ellipse, angles in degrees, y downward."""
    angles = [radians(begin + (end - begin) * i / count) for i in range(count + 1)]
    return [(x + wide * cos(a), y + high * sin(a)) for a in angles]


def wave(y, begin=0, end=WIDTH, height=3.0, length=46.0):
    return [(x, y + height * sin(2 * pi * x / length)) for x in range(begin, end + 1, 4)]


def rectangle(x, y, length, width, turn_deg=0.0):
    """Corners of a rectangle about its centre."""
    turn = radians(turn_deg)
    corners = ((-length / 2, -width / 2), (length / 2, -width / 2), (length / 2, width / 2), (-length / 2, width / 2))
    return [(x + a * cos(turn) - b * sin(turn), y + a * sin(turn) + b * cos(turn)) for a, b in corners]


def floor(s, y):
    """The dock floor from y down, with its joints running away."""
    s.box(-5, y, WIDTH + 10, HEIGHT - y + 5, PALE)
    for x in range(-200, WIDTH + 240, 88):
        s.line([(WIDTH / 2 + (x - WIDTH / 2) * 0.72, y), (x, HEIGHT)], 1, MIDDLE)


def hull_above(s, y, seams=(170, 330, 490)):
    """The ship's bottom seen from the side: plating down to y, with its butts."""
    s.box(-5, -5, WIDTH + 10, y + 5, LIGHT)
    s.line([(0, y), (WIDTH, y)], 4)
    s.line([(0, y - 62), (WIDTH, y - 66)], 1.4, DARK)
    for x in seams:
        s.line([(x, 0), (x, y)], 1.4, DARK)
        for row in range(8, int(y) - 4, 14):
            s.disc(x - 7, row, 1.6, DARK, 0)
            s.disc(x + 7, row, 1.6, DARK, 0)


def timber(s, x, y, wide, high, baulks):
    """Courses of timber with a little grain."""
    each = high / baulks
    for n in range(baulks):
        s.box(x, y + n * each, wide, each, PALE)
        for k in (0.35, 0.7):
            s.line([(x + 8, y + (n + k) * each), (x + wide * (0.55 + 0.3 * k), y + (n + k) * each + 1.5)], 1, MIDDLE)


def block(s, x, top, wide, foot, name):
    """A keel block from the side: concrete base, oak middle, soft cap."""
    high = foot - top
    s.area([(x - wide / 2 - 10, foot), (x - wide / 2, top + high * 0.46), (x + wide / 2, top + high * 0.46), (x + wide / 2 + 10, foot)], LIGHT)
    timber(s, x - wide / 2, top + high * 0.16, wide, high * 0.30, 2)
    timber(s, x - wide / 2, top, wide, high * 0.16, 1)
    s.words(x, top + high * 0.74, name, 26)


def person(s, x, feet, high=104.0):
    """A plain figure in a helmet, for scale."""
    head = high * 0.09
    s.disc(x, feet - high + head, head, PAPER)
    s.area(ring(x, feet - high + head, head * 1.25, head * 1.1, 180, 360), MIDDLE)
    s.area([(x - high * 0.12, feet - high * 0.78), (x + high * 0.12, feet - high * 0.78), (x + high * 0.10, feet - high * 0.42), (x - high * 0.10, feet - high * 0.42)], MIDDLE)
    for foot in (-0.07, 0.08):
        s.line([(x + foot * high * 0.6, feet - high * 0.42), (x + foot * high, feet)], 6)


def keel_block_k12():
    s = Sketch()
    floor(s, 352)
    hull_above(s, 128)
    block(s, 92, 128, 96, 350, "K11")
    block(s, 330, 128, 120, 360, "K12")
    block(s, 566, 128, 96, 350, "K13")
    return s


def caisson_seated():
    s = Sketch()
    s.box(-5, -5, WIDTH + 10, 140, PALE, 0)
    s.line(wave(136, height=2), 1, MIDDLE)
    for x, lean in ((0, 1), (WIDTH, -1)):
        s.area([(x, 60), (x + lean * 118, 60), (x + lean * 118, 122), (x + lean * 142, 122), (x + lean * 142, 330), (x, 330)], LIGHT)
        for y in (100, 160, 200, 240, 280):
            s.line([(x, y), (x + lean * 118, y)], 1, DARK)
    s.box(142, 104, 356, 226, LIGHT)
    s.hatch([(142, 104), (498, 104), (498, 120), (142, 120)], 7)
    for x in range(178, 490, 36):
        s.line([(x, 120), (x, 330)], 1.4, DARK)
    s.line([(142, 210), (498, 210)], 1.4, DARK)
    s.line([(142, 82), (498, 82)], 1.8)
    for x in range(142, 500, 44):
        s.line([(x, 82), (x, 104)], 1.8)
    s.area([(0, 300)] + wave(300) + [(WIDTH, HEIGHT), (0, HEIGHT)], PALE)
    for y in (322, 346, 372, 398):
        s.line(wave(y, 30 + y % 50, 600 - y % 70, 2, 60), 1, MIDDLE)
    for x in (250, 390):
        s.disc(x, 238, 15, PAPER)
        s.line([(x - 10, 238), (x + 10, 238)], 2)
        s.line([(x, 228), (x, 248)], 2)
    person(s, 322, 104, 66)
    return s


def draft_marks_aft():
    s = Sketch(PAPER)
    s.area([(126, -5), (WIDTH + 5, -5), (WIDTH + 5, HEIGHT + 5), (214, HEIGHT + 5), (206, 340), (184, 220), (150, 90)], LIGHT)
    s.line([(420, 0), (434, 420)], 1.4, DARK)
    s.line([(150, 90), (WIDTH, 96)], 1.4, DARK)
    for number, metres in enumerate(("4.8", "4.6", "4.4", "4.2", "4.0")):
        y = 52 + number * 78
        s.words(300, y - 15, metres, 34)
        s.line([(236, y + 4), (262, y + 4)], 3)
        s.line([(236, y + 43), (250, y + 43)], 2)
    s.area([(0, 292)] + wave(292, height=2.5, length=70) + [(WIDTH, HEIGHT), (0, HEIGHT)], PALE, 2)
    s.words(300, 350, "4.0", 34, MIDDLE)
    for y in (318, 340, 368, 394):
        s.line(wave(y, 20 + y % 90, 610 - y % 110, 2, 80), 1, MIDDLE)
    return s


def bow_clear():
    s = Sketch()
    floor(s, 356)
    keel = [(-5, 176), (120, 174), (260, 167), (380, 155), (470, 138), (540, 104), (584, 52), (604, -5)]
    s.area([(-5, -5)] + keel, LIGHT, 3)
    for x, y in ((90, 172), (330, 160)):
        s.line([(x, -5), (x, y)], 1.4, DARK)
    s.line([(0, 96), (330, 92), (480, 70), (560, 20)], 1.4, DARK)
    for x, name in ((74, "K62"), (256, "K63"), (438, "K64")):
        block(s, x, 178, 92, 356, name)
    for x, y in ((256, 168), (438, 146)):
        s.arrow(x + 64, y + 34, x + 26, y + 14 + (178 - y) / 8)
    s.words(504, 196, "daylight", 20, anchor="lm")
    person(s, 590, 376, 128)
    return s


def plug_dp4():
    s = Sketch(LIGHT)
    s.area([(-5, -5), (WIDTH + 5, -5), (WIDTH + 5, 96), (-5, 120)], MIDDLE)
    s.line([(0, 120), (WIDTH, 96)], 3)
    s.words(96, 60, "keel", 22, PAPER)
    s.area(ring(300, 212, 66, 62), PALE)
    for n in range(6):
        a = radians(20 + 60 * n)
        s.disc(300 + 50 * cos(a), 212 + 47 * sin(a), 7, MIDDLE)
    s.area(ring(300, 212, 30, 28), INK)
    s.area([(280, 226), (320, 226), (328, 300), (334, 420), (268, 420), (274, 300)], PAPER, 1.6)
    for x in (290, 302, 314):
        s.line([(x, 236), (x + (x - 302) * 0.5, 414)], 1, MIDDLE)
    s.words(300, 128, "DP4", 26)
    s.area([(470, 236), (530, 220), (546, 262), (486, 280)], MIDDLE)
    s.area([(486, 280), (546, 262), (560, 318), (512, 332)], PALE)
    for k in (0.25, 0.5, 0.75):
        s.line([(486 + 26 * k, 280 + 52 * k), (546 + 14 * k, 262 + 56 * k)], 1.4)
    s.words(522, 356, "plug, drawn", 18)
    for x, y in ((60, 190), (120, 330), (580, 160), (430, 390), (180, 260)):
        s.disc(x, y, 2.4, DARK, 0)
    return s


def sc3_grid():
    s = Sketch(LIGHT)
    s.line([(0, 66), (WIDTH, 52)], 1.4, DARK)
    s.line([(0, 370), (WIDTH, 380)], 1.4, DARK)
    s.line([(560, 0), (566, HEIGHT)], 1.4, DARK)
    s.box(96, 104, 440, 232, PALE, 3)
    s.box(118, 126, 396, 188, INK)
    for x in range(124, 510, 22):
        s.box(x, 120, 11, 200, PALE, 1.4)
    s.box(104, 208, 424, 22, PALE)
    for x in (107, 212, 316, 420, 525):
        for y in (115, 325):
            s.disc(x, y, 6, MIDDLE)
    s.words(316, 76, "SC3", 28)
    s.line([(96, 366), (536, 366)], 1.6)
    s.arrow(300, 366, 97, 366)
    s.arrow(330, 366, 535, 366)
    s.box(270, 352, 92, 28, LIGHT, 0)
    s.words(316, 366, "1500 mm", 18)
    return s


def hose_down():
    s = Sketch()
    floor(s, 366)
    s.area([(-5, -5), (WIDTH + 5, -5), (WIDTH + 5, 190), (500, 206), (60, 206), (-5, 214)], LIGHT, 3)
    for y in (66, 138):
        s.line([(0, y + 4), (WIDTH, y - 6)], 1.4, DARK)
    s.hatch([(-5, -5), (250, -5), (282, 70), (262, 140), (296, 206), (60, 206), (-5, 214)], 12, MIDDLE)
    for end in ((300, 76), (276, 108), (296, 142), (272, 176)):
        s.line([(432, 268), end], 2.2, DARK)
    for x, y in ((292, 66), (270, 98), (300, 116), (262, 130), (286, 160), (264, 188), (252, 150), (306, 92)):
        s.disc(x, y, 5, PAPER, 1.2)
    person(s, 484, 384, 142)
    s.line([(478, 282), (456, 276), (430, 267)], 6)
    s.line([(488, 296), (520, 330), (560, 372), (600, 380), (645, 372)], 5, DARK)
    block(s, 110, 206, 90, 368, "K46")
    return s


def k37_tape():
    s = Sketch()
    floor(s, 372)
    hull_above(s, 70, (520,))
    block(s, 250, 70, 220, 372, "K37")
    s.box(398, 70, 30, 302, PAPER)
    for n in range(28):
        y = 372 - n * 302 / 27
        s.line([(398, y), (414 if n % 2 == 0 else 407, y)], 1.4)
    for text, y, beside in (("0", 372, 352), ("500", 260, 260), ("1000", 148, 148), ("1350 mm", 70, 96)):
        s.arrow(476, beside, 432, y)
        s.words(482, beside, text, 20, anchor="lm")
    return s


def k23_slipped():
    s = Sketch()
    floor(s, 350)
    hull_above(s, 120, (120, 470))
    block(s, 92, 120, 100, 346, "K22")
    s.area([(242, 360), (252, 232), (372, 226), (388, 352)], LIGHT)
    s.area([(372, 226), (402, 214), (420, 338), (388, 352)], MIDDLE)
    s.area([(252, 232), (252, 122), (372, 122), (372, 226)], PALE)
    s.area([(372, 122), (402, 122), (402, 214), (372, 226)], MIDDLE)
    for y in (160, 196):
        s.line([(252, y), (372, y - 2), (402, y - 6)], 1.6)
    s.words(314, 298, "K23", 28)
    block(s, 590, 120, 92, 346, "K24")
    for a, b in (((330, 384), (486, 370)), ((486, 370), (468, 338))):
        s.dashes(a, b, 3)
    s.words(500, 392, "chalk: as in P1", 18)
    return s


def k23_sketch():
    """In plan, bow to the right: as the naval architect drew it."""
    s = Sketch()
    scale = 190
    s.line([(40, 210), (600, 210)], 1, DARK)
    s.words(52, 196, "CL", 16)
    first = rectangle(270, 210, 0.6 * scale, 1.2 * scale)
    second = rectangle(270 + 0.3 * scale, 210 - 0.10 * scale, 0.6 * scale, 1.2 * scale, -3.0)
    lean = (second[3][0] - second[0][0]) / (second[3][1] - second[0][1])
    top, right = first[1][1], first[1][0]
    s.hatch([(second[0][0] + lean * (top - second[0][1]), top), (right, top), (right, second[3][1] - (right - second[3][0]) * lean), second[3]], 8, INK)
    s.line(first + first[:1], 2.4)
    for a, b in zip(second, second[1:] + second[:1]):
        s.dashes(a, b, 2.4)
    s.words(196, 70, "K23, P1", 20, anchor="rm")
    s.arrow(200, 76, 228, 102)
    s.words(440, 64, "K23S, P2", 20, anchor="lm")
    s.arrow(436, 70, 392, 94)
    s.words(440, 326, "never exposed", 20, anchor="lm")
    s.arrow(436, 324, 318, 262)
    s.words(596, 396, "A.D. 22 iv 31, not to scale", 15, anchor="rm")
    s.arrow(470, 160, 590, 160)
    s.words(530, 144, "bow", 18)
    return s


def in2_bp9():
    s = Sketch(LIGHT)
    s.line([(0, 70), (WIDTH, 62)], 1.4, DARK)
    s.line([(0, 356), (WIDTH, 350)], 1.4, DARK)
    s.box(44, 96, 236, 236, PALE, 3)
    for y in (155, 214, 273):
        s.line([(44, y), (280, y)], 1.6)
        s.line([(60, y - 26), (210, y - 24)], 1, MIDDLE)
    s.words(162, 244, "BP9", 28)
    s.area(ring(462, 214, 74, 74), PALE, 3)
    s.area(ring(462, 214, 52, 52), MIDDLE)
    for row in range(-2, 3):
        for column in range(-2, 3):
            if row * row + column * column < 7:
                s.disc(462 + 19 * column, 214 + 19 * row, 6, INK, 0)
    s.words(462, 112, "IN2", 28)
    s.line([(280, 340), (280, 392)], 1.4)
    s.line([(388, 290), (388, 392)], 1.4)
    s.arrow(334, 382, 281, 382)
    s.arrow(334, 382, 387, 382)
    s.words(400, 382, "under 300 mm", 18, anchor="lm")
    s.arrow(500, 36, 600, 36)
    s.words(480, 36, "bow", 18, anchor="rm")
    return s


def afloat():
    s = Sketch()
    s.box(-5, 96, WIDTH + 10, 200, PALE, 1.4)
    for y in (140, 190, 240):
        s.line([(0, y), (WIDTH, y)], 1, MIDDLE)
    s.area([(84, 196), (60, 232), (70, 268), (96, 330), (534, 330), (556, 268), (588, 190), (470, 208), (240, 212)], LIGHT, 3)
    s.area([(70, 268), (96, 330), (534, 330), (556, 268)], MIDDLE)
    s.area([(176, 210), (176, 176), (468, 170), (476, 207)], PAPER)
    s.area([(214, 175), (214, 148), (420, 144), (426, 171)], PAPER)
    for x in range(196, 460, 22):
        s.disc(x, 192, 4, DARK, 0)
    for x in range(110, 540, 26):
        s.disc(x, 232, 3, DARK, 0)
    s.area([(296, 147), (290, 62), (338, 60), (346, 146)], LIGHT)
    s.area([(291, 78), (290, 62), (338, 60), (339, 76)], DARK)
    for x, top in ((150, 40), (500, 34)):
        s.line([(x, 204), (x - 6, top)], 2.4)
    s.line([(144, 44), (294, 66)], 1, DARK)
    s.line([(494, 38), (338, 64)], 1, DARK)
    s.line([(588, 192), (640, 150)], 1.6)
    s.line([(70, 226), (0, 168)], 1.6)
    s.area([(0, 304)] + wave(304) + [(WIDTH, HEIGHT), (0, HEIGHT)], PALE)
    for y in (326, 350, 378, 402):
        s.line(wave(y, 26 + y % 60, 614 - y % 80, 2, 64), 1, MIDDLE)
    return s


DRAWINGS = {
    "caisson-seated": caisson_seated, "draft-marks-aft": draft_marks_aft, "keel-block-k12": keel_block_k12, "bow-clear": bow_clear,
    "plug-dp4": plug_dp4, "sc3-grid": sc3_grid, "hose-down": hose_down, "k37-tape": k37_tape, "k23-slipped": k23_slipped,
    "k23-sketch": k23_sketch, "in2-bp9": in2_bp9, "afloat": afloat,
}
