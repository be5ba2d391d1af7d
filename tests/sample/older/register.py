"""plan/openings.csv: 38 openings. Those of 2031 but for three that came later; one has been moved since, and one blanked.

Not the same in 2031: SL1, the speed log, stood 1.30 m further aft; OB13, the ash ejector's discharge, was still there; the
evaporator (IN1, OB7) and the echo sounder (ES1) were not.
"""

import dock
import hull
import openings
from writing import fixed, write_csv

LATER = {"IN1", "OB7", "ES1"}
SPEED_LOG_X_M = 64.90

COLUMNS = [
    "opening", "kind", "x_m", "y_m", "z_m", "length_mm", "width_mm", "diameter_in", "side", "frame", "clearance_wanted_mm", "valve_tag",
    "opened_at", "opened_by", "closed_at", "closed_by", "tested_how", "state", "note_service",
]

HOSE, AIR = "hosed from outboard, dry inboard", "tank on air, soap solution, no bubbles"

# Opened and closed again, day of September and time, and how tested.
WORK = {
    "SC1": ("08 09:00", "14 16:00", HOSE), "SC2": ("08 10:30", "14 17:00", HOSE), "SC3": ("08 13:30", "15 11:00", HOSE),
    "SC6": ("09 09:00", "15 14:00", HOSE), "OB1": ("09 10:00", "14 10:30", HOSE), "OB2": ("09 11:00", "14 11:30", HOSE),
    "DP1": ("07 17:40", "15 09:20", AIR), "DP4": ("07 18:00", "15 09:50", AIR), "DP6": ("07 18:20", "15 10:20", AIR),
    "DP10": ("07 18:40", "15 10:50", AIR),
}


def all_openings():
    out = [o for o in openings.all_openings() if o.name not in LATER]
    out = [o._replace(x_m=SPEED_LOG_X_M) if o.name == "SL1" else o for o in out]
    ash = openings.Opening(
        "OB13", "overboard", 46.80, round(-hull.side_half_breadth_m(46.80), 2), 2.40, "8", None, "OV-13", "ash ejector", None, ())
    at = next(n for n, o in enumerate(out) if o.name == "OB12") + 1
    return [*out[:at], ash, *out[at:]]


def state(opening):
    if opening.name == "OB13":
        return "flap seized; ejector taken out, to be blanked"
    if opening.name in WORK:
        return "refitted with new grommet" if opening.kind == "docking-plug" else "cleaned, valve lapped"
    return "left shut"


def row(opening):
    cells = {
        "opening": opening.name, "kind": opening.kind, "x_m": fixed(opening.x_m, 2), "y_m": fixed(opening.y_m, 2),
        "z_m": "" if opening.z_m is None else fixed(opening.z_m, 2), "side": openings.true_side(opening.y_m),
        "frame": fixed(hull.frame_at(opening.x_m), 1).removesuffix(".0"), "clearance_wanted_mm": opening.wanted_mm or "",
        "valve_tag": opening.tag, "state": state(opening), "note_service": opening.service,
    }
    cells.update(openings.size_cells(opening.size))
    if opening.name in WORK:
        opened, closed, tested = WORK[opening.name]
        cells.update(
            opened_at=when(opened), opened_by=dock.SECOND_ENGINEER, closed_at=when(closed), closed_by=dock.CHIEF_ENGINEER, tested_how=tested)
    return cells


def when(day_and_time):
    day, time = day_and_time.split()
    return dock.without_offset(f"2006-09-{day}T{time}")


def make():
    write_csv("plan/openings.csv", COLUMNS, [row(opening) for opening in all_openings()])
