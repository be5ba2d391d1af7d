"""hull/plating.csv: 300 gaugings of the shell, seven strakes a side.

Fault left in on purpose: one plate of F starboard is beyond its limit.
"""

from collections import namedtuple

import clock
import dock
import hull
from writing import Scatter, fixed, rounded, write_csv

# A strake runs at a part of the bottom's half-breadth, or up the side; `limit` is (column, value).
Strake = namedtuple("Strake", "letter plates original_mm part limit worn_mm")

STRAKES = [
    Strake("A", 20, 16.0, 0.24, ("relative_loss_limit_pct", "20"), 0.7),
    Strake("B", 22, 14.0, 0.42, ("relative_loss_limit_pct", "25"), 0.7),
    Strake("C", 22, 14.0, 0.60, ("relative_loss_limit_pct", "25"), 0.8),
    Strake("D", 22, 13.5, 0.78, ("loss_limit_mm", "3.0"), 0.9),
    Strake("E", 22, 13.0, 0.94, ("relative_loss_limit_pct", "25"), 0.9),
    Strake("F", 21, 12.0, None, ("relative_loss_limit_pct", "20"), 1.0),
    Strake("G", 21, 11.0, None, ("least_thickness_mm", "8.3"), 1.1),
]

SIDES = {"P": 1, "S": -1}
AFT_X_M, FORWARD_X_M = 13.0, 91.0
WASTED_MM = {("F-S", 14): 2.9}  # loss; by the ash chute, where the drain runs down
WORST_OF_LIMIT = 0.92  # no other plate is worn nearer to its limit
ENDS_THINNER_MM = 1.0  # of the original plating, toward the ends

INSTRUMENT = "UT4"

# The step wedge on which it was checked before work, mm: day, reference and reading.
CHECKS = [("14", "5.0", "5.0"), ("14", "10.0", "10.1"), ("14", "20.0", "20.0"), ("16", "5.0", "5.0"), ("16", "10.0", "10.0"), ("16", "20.0", "20.1")]

REPAIR_COLUMNS = ["repair", "kind", "about", "zone", "x_m", "y_m", "length_mm", "width_mm", "began", "ended", "touched_up", "paper", "by"]
DOUBLER = {
    "repair": "D14", "kind": "doubler", "about": "plate:F-S.14", "zone": "SS", "length_mm": "900", "width_mm": "600",
    "began": "2031-04-24T09:10:00", "ended": "2031-04-24T14:30:00", "touched_up": "2031-04-27T11:00:00",
}

COLUMNS = [
    "strake", "plate", "x_m", "y_m", "original_mm", "measured_mm", "loss_limit_mm", "relative_loss_limit_pct", "least_thickness_mm", "at", "by",
    "note", "pit_depth_mm", "pitted_pct", "instrument", "through_coating",
]


def half_breadth_m(strake, x):
    if strake.part is not None:
        return strake.part * hull.bottom_half_breadth_m(x)
    bottom, side = hull.bottom_half_breadth_m(x), hull.side_half_breadth_m(x)
    return bottom + (side - bottom) * (0.55 if strake.letter == "F" else 0.85)


def allowed_mm(strake, original):
    column, value = strake.limit
    return {
        "loss_limit_mm": float(value), "relative_loss_limit_pct": original * float(value) / 100.0, "least_thickness_mm": original - float(value),
    }[column]


def gauging(strake, side, number, minute, scatter):
    name = f"{strake.letter}-{side}"
    x = AFT_X_M + (FORWARD_X_M - AFT_X_M) * (number - 0.5) / strake.plates + scatter.within(0.6)
    original = strake.original_mm - (ENDS_THINNER_MM if number <= 3 or number > strake.plates - 3 else 0.0)
    loss = min(max(0.0, strake.worn_mm + scatter.bell(0.45)), WORST_OF_LIMIT * allowed_mm(strake, original))
    loss = WASTED_MM.get((name, number), loss)
    column, value = strake.limit
    return {
        "strake": name, "plate": str(number), "x_m": fixed(x, 2), "y_m": fixed(SIDES[side] * half_breadth_m(strake, x), 2),
        "original_mm": fixed(original, 1), "measured_mm": fixed(rounded(original - loss, 0.1), 1), column: value,
        "at": dock.without_offset(clock.written(minute)), "by": dock.PLATE_GAUGER,
        "pit_depth_mm": "1.4" if (name, number) in WASTED_MM else "", "pitted_pct": "30" if (name, number) in WASTED_MM else "",
        "instrument": INSTRUMENT, "through_coating": "no",
        "note": "pitted below the drain of the ash chute" if (name, number) in WASTED_MM else "",
    }


def make():
    rows, first = [], {"P": clock.minutes("14 08:30"), "S": clock.minutes("16 08:30")}
    for side in SIDES:
        minute = first[side]
        for strake in STRAKES:
            scatter = Scatter(f"plating {strake.letter} {side}")
            for number in range(1, strake.plates + 1):
                rows.append(gauging(strake, side, number, minute, scatter))
                minute += 3
            minute += 10
    write_csv("hull/plating.csv", COLUMNS, rows)
    write_csv("hull/instruments.csv", ["instrument", "reference_mm", "reading_mm", "at", "by"], [
        {"instrument": INSTRUMENT, "reference_mm": reference, "reading_mm": reading, "at": f"2031-04-{day}T08:1{n % 3}:00", "by": dock.PLATE_GAUGER}
        for n, (day, reference, reading) in enumerate(CHECKS)
    ])
    wasted = next(row for row in rows if (row["strake"], row["plate"]) == ("F-S", "14"))
    write_csv("hull/repairs.csv", REPAIR_COLUMNS, [DOUBLER | {"x_m": wasted["x_m"], "y_m": wasted["y_m"], "by": dock.CHIEF_ENGINEER}])
