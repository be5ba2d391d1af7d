"""landing/drafts.csv: the draft marks as read, six to an occasion.

Faults left in on purpose: the forward port mark before the first landing is written 3.48 for 3.84; nobody wrote down the
water's density at departure.
"""

from collections import namedtuple

import dock
import floating
from writing import Scatter, fixed, rounded, write_csv

MARKS = [("aft", 6.90, 2.30), ("midships", 52.00, 7.30), ("forward", 92.60, 1.70)]

# One reading of all marks; true density, and whether it was written down; note.
Occasion = namedtuple("Occasion", "position name began minutes density written by note")

P1, P2 = dock.POSITIONS
OCCASIONS = [
    Occasion("", "arrival", "2031-04-07T07:25", (0, 2, 5, 6, 10, 11), 1.017, True, dock.NAVAL_ARCHITECT, "lay-by berth, from the launch"),
    Occasion("P1", "before-landing", "2031-04-07T10:13", (6, 4, 1, 0, 5, 2), 1.021, True, dock.NAVAL_ARCHITECT, "caisson seated, water still"),
    Occasion("P1", "lift-off", "2031-04-22T09:18", (0, 1, 4, 5, 9, 10), 1.020, True, dock.NAVAL_ARCHITECT, ""),
    Occasion("P2", "before-landing", "2031-04-22T11:22", (0, 1, 5, 6, 10, 12), 1.020, True, dock.DOCKMASTER, ""),
    Occasion("P2", "lift-off", "2031-04-29T08:27", (0, 1, 3, 5, 8, 9), 1.021, True, dock.NAVAL_ARCHITECT, "caisson still in place"),
    Occasion("", "departure", "2031-04-29T11:40", (0, 2, 5, 7, 12, 13), 1.016, False, dock.DOCKMASTER, "lay-by berth, light airs"),
]

# Drafts that the docking calculation asks for, aft, midships and forward.
PLANNED = {
    ("", "arrival"): (4.20, 4.02, 3.85),
    ("P1", "before-landing"): (4.20, 4.02, 3.85),
    ("P2", "before-landing"): (4.18, 3.98, 3.80),
}

MISTYPED = {("P1", "before-landing", "forward", 1): ("3.84", "3.48")}


def condition(occasion):
    if occasion.name in ("arrival", "before-landing"):
        return floating.in_position(P2 if occasion.position == "P2" else P1)
    return floating.leaving(P1 if occasion.position == "P1" else P2)


def minutes_after(time, minutes):
    day, clock = time.split("T")
    total = int(clock[:2]) * 60 + int(clock[3:]) + minutes
    return f"{day}T{total // 60:02}:{total % 60:02}"


def readings(occasion):
    scatter = Scatter(f"six marks {occasion.position} {occasion.name}")
    as_she_floats = condition(occasion)
    water = floating.float_at(as_she_floats, occasion.density)
    rows, minutes = [], iter(occasion.minutes)
    planned = PLANNED.get((occasion.position, occasion.name), ("",) * len(MARKS))
    for (place, x, half), wanted in zip(MARKS, planned):
        for side in (1, -1):
            draft = floating.draft_at_m(water, x, side * half, as_she_floats.list_deg) + scatter.bell(0.006)
            text = fixed(rounded(draft, 0.01), 2)
            right, wrong = MISTYPED.get((occasion.position, occasion.name, place, side), (text, text))
            assert text == right, f"the reading to be mistyped is {text}, not {right}"
            rows.append({
                "position": occasion.position, "occasion": occasion.name, "mark_x_m": fixed(x, 2), "mark_y_m": fixed(side * half, 2),
                "planned_draft_m": fixed(wanted, 2) if wanted else "", "draft_m": wrong, "water_density_kg_m3": fixed(occasion.density * 1000.0, 0) if occasion.written else "",
                "at": dock.with_offset(minutes_after(occasion.began, next(minutes))), "by": occasion.by,
                "note": f"{place} {'port' if side > 0 else 'starboard'}" + (f", {occasion.note}" if occasion.note else ""),
            })
    return rows


def make():
    columns = ["position", "occasion", "mark_x_m", "mark_y_m", "draft_m", "water_density_kg_m3", "at", "by", "note", "planned_draft_m"]
    write_csv("landing/drafts.csv", columns, [row for occasion in OCCASIONS for row in readings(occasion)])
