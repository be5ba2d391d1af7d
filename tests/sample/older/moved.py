"""landing/moved.csv: weights put on and taken off while she was docked."""

from collections import namedtuple

import dock
from writing import fixed, write_csv

Moved = namedtuple("Moved", "at item mass_t x_m y_m z_m")

MOVED = [
    Moved("2006-09-08T10:00", "fresh water, after tanks, pumped ashore", -18.0, 24.5, 0.0, 2.9),
    Moved("2006-09-11T14:30", "old ash ejector and its pipes landed", -1.6, 46.8, -2.6, 2.4),
    Moved("2006-09-21T11:00", "fresh water, after tanks, filled", 18.5, 24.5, 0.0, 2.9),
]


def before(time):
    return [m for m in MOVED if m.at < time]


def make():
    columns = ["at", "item", "mass_t", "x_m", "y_m", "z_m"]
    write_csv("landing/moved.csv", columns, [
        {
            "at": dock.with_offset(m.at), "item": m.item, "mass_t": fixed(m.mass_t, 1), "x_m": fixed(m.x_m, 1), "y_m": fixed(m.y_m, 1),
            "z_m": fixed(m.z_m, 1),
        }
        for m in MOVED
    ])
