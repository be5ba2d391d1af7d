"""coating/stripes.csv: stripe coats, brushed on welds and edges before the second coat of every zone."""

import dock
from writing import write_csv

COLUMNS = ["zone", "before_coat", "on", "product", "batch", "began", "ended", "by"]

# Day of April, start and finish.
STRIPES = [
    ("SP", "butts and seams, edges of the overboard discharges", "EP2-1008", "14", "10:05", "12:50"),
    ("KL", "butts of the keel plate, edges of the docking plugs", "EP2-1008", "14", "13:05", "14:00"),
    ("BP", "butts and seams, rims of the sea chests", "EP2-1008", "15", "08:05", "10:15"),
    ("BS", "butts and seams, rims of the sea chests", "EP2-1008", "15", "12:40", "14:50"),
    ("SS", "butts and seams, edges of the overboard discharges", "EP2-0121", "18", "09:00", "11:45"),
    ("KL", "butts in the patches", "EP2-0121", "24", "09:20", "10:15"),
    ("BP", "butts and seams in the patches", "EP2-0121", "24", "10:20", "11:00"),
    ("BS", "butts and seams in the patches", "EP2-0121", "24", "11:30", "12:40"),
]


def make():
    write_csv("coating/stripes.csv", COLUMNS, [
        {
            "zone": zone, "before_coat": "2", "on": on, "product": "EP2", "batch": batch,
            "began": dock.without_offset(f"2031-04-{day}T{began}"), "ended": dock.without_offset(f"2031-04-{day}T{ended}"),
            "by": dock.PAINTERS_FOREMAN,
        }
        for zone, on, batch, day, began, ended in STRIPES
    ])
