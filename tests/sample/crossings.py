"""landing/crossings.csv: when she crossed the sill, in over the morning's tide, out over that of three weeks later."""

import dock
from writing import fixed, write_csv

CROSSINGS = [
    # direction, time, level on the staff, note
    ("in", "2031-04-07T08:50", 1.91, "bow first, two tugs"),
    ("out", "2031-04-29T10:25", 1.58, "caisson out at 10:05, stern first"),
]


def make():
    write_csv("landing/crossings.csv", ["direction", "at", "level_m", "by", "note"], [
        {"direction": direction, "at": dock.with_offset(time), "level_m": fixed(level, 2), "by": "Maud Tresilby", "note": note}
        for direction, time, level, note in CROSSINGS
    ])
