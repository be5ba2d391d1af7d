"""landing/stops.csv: the levels at which the docking plan has the pumping stopped."""

import dock
from writing import write_csv

STOPS = [
    ("P1", "1.10", "divers go down for the last check before she touches", "2031-04-07T11:00", ""),
    ("P1", "0.72", "first touch: divers confirm contact at the after blocks", "2031-04-07T11:45", ""),
    ("P1", "-0.30", "landed: gaps at the forward end, bilge blocks", "2031-04-07T13:00", ""),
    ("P2", "1.05", "divers go down for the last check before she touches", "2031-04-21T12:30", ""),
    ("P2", "0.70", "first touch: divers confirm contact at the after blocks", "2031-04-21T13:10", "0.20"),
]

COLUMNS = ["position", "level_m", "why", "planned_at", "gap_rate_m_per_h"]


def make():
    write_csv("landing/stops.csv", COLUMNS, [
        dict(zip(COLUMNS, (position, level, why, dock.with_offset(at), rate))) for position, level, why, at, rate in STOPS
    ])
