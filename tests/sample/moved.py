"""landing/moved.csv: weights put on and taken off while she was docked."""

from collections import namedtuple

import dock
from writing import fixed, write_csv

Moved = namedtuple("Moved", "at item mass_t x_m y_m z_m note")

# When the docking plan meant them to be moved, and how much; what is not here nobody planned.
PLANNED = {
    "port anchor and cable, ranged on the dock floor": ("2031-04-08T10:00", ""),
    "starboard anchor and cable, ranged on the dock floor": ("2031-04-08T14:00", ""),
    "fresh water, after tanks, pumped ashore": ("2031-04-09T16:00", "-22.0"),
    "fresh water, after tanks, filled": ("2031-04-26T15:00", "22.0"),
    "port anchor and cable hove home": ("2031-04-27T09:00", ""),
    "starboard anchor and cable hove home": ("2031-04-27T11:00", ""),
}

MOVED = [
    Moved("2031-04-08T10:40", "port anchor and cable, ranged on the dock floor", -13.1, 92.4, 0.9, 6.2, ""),
    Moved("2031-04-08T14:25", "starboard anchor and cable, ranged on the dock floor", -13.3, 92.4, -0.9, 6.2, ""),
    Moved("2031-04-09T16:30", "fresh water, after tanks, pumped ashore", -21.5, 24.5, 0.0, 2.9, "by meter"),
    Moved("2031-04-11T09:00", "oily water, engine room tank 3, to road tanker", -11.0, 38.0, -0.5, 0.6, "by tanker's ticket"),
    Moved("2031-04-15T13:10", "mess stores and bar stock for the season", 12.4, 70.0, -0.7, 5.6, "by delivery notes"),
    Moved("2031-04-18T11:30", "firebrick for the after boilers", 9.5, 45.2, 0.0, 3.4, ""),
    Moved("2031-04-25T10:15", "old furnace bars and scrap landed", -10.2, 44.0, -0.4, 2.2, "weighbridge"),
    Moved("2031-04-27T15:00", "fresh water, after tanks, filled", 21.0, 24.5, 0.0, 2.9, "by meter"),
    Moved("2031-04-28T09:20", "port anchor and cable hove home", 13.1, 92.4, 0.9, 6.2, ""),
    Moved("2031-04-28T10:50", "starboard anchor and cable hove home", 13.3, 92.4, -0.9, 6.2, ""),
]


def planned_at(weight):
    return PLANNED.get(weight.item, ("", ""))[0]


def planned_mass(weight):
    return PLANNED.get(weight.item, ("", ""))[1]


def before(time):
    return [m for m in MOVED if m.at < time]


def make():
    columns = ["at", "item", "mass_t", "x_m", "y_m", "z_m", "note", "planned_at", "planned_mass_t"]
    write_csv("landing/moved.csv", columns, [
        {
            "planned_at": dock.with_offset(planned_at(m)) if planned_at(m) else "", "planned_mass_t": planned_mass(m),
            "at": dock.with_offset(m.at), "item": m.item, "mass_t": fixed(m.mass_t, 1), "x_m": fixed(m.x_m, 1),
            "y_m": fixed(m.y_m, 1), "z_m": fixed(m.z_m, 1), "note": m.note,
        }
        for m in MOVED
    ])
