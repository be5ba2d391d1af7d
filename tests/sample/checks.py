"""landing/checks.csv: what was to be looked at as she landed, and what was seen."""

from collections import namedtuple

import dock
from writing import fixed, write_csv

Check = namedtuple("Check", "position check block planned recorded planned_m recorded_m by at")

DIVER, MASTER, FOREMAN, ARCHITECT = dock.DIVING_SUPERVISOR, dock.DOCKMASTER, dock.BLOCK_FOREMAN, dock.NAVAL_ARCHITECT

CHECKS = [
    Check("P1", "wedge", "", "bilge wedges 5 to 7 tried with a maul before flooding", "all tight", None, None, FOREMAN, "2031-04-07T04:40"),
    Check("P1", "declivity", "", "0.20 % over the keel row, rising forward", "0.20 %, level and staff on K1, K32 and K64", None, None, ARCHITECT, "2031-04-07T04:30"),
    Check("P1", "diver-contact", "K1", "bears first", "hard contact, both edges", 0.0, 0.0, DIVER, "2031-04-07T11:52"),
    Check("P1", "diver-contact", "K2", "clear until she settles", "3 mm blade enters", None, None, DIVER, "2031-04-07T11:56"),
    Check("P1", "diver-contact", "K3", "clear until she settles", "clear, about 5 mm", None, None, DIVER, "2031-04-07T11:59"),
    Check("P1", "centreline", "K1", "on the line, 0.05 m either side", "keel 14 mm to port of the scribed line", 0.0, 0.014, DIVER, "2031-04-07T12:04"),
    Check("P1", "end-gap", "K63", "clear by 25 mm, closing as she takes the blocks", "stack of feelers, 24 mm on both sides", 0.025, 0.024, DIVER, "2031-04-07T13:32"),
    Check("P1", "second-survey", "", "gaps again when dry", "done from 17:20", None, None, FOREMAN, "2031-04-07T18:35"),
    Check("P2", "wedge", "", "bilge wedges 5 to 7 tried by divers before she touches", "all tight", None, None, DIVER, "2031-04-22T10:40"),
    Check("P2", "diver-contact", "K1", "bears first", "hard contact, both edges", 0.0, 0.0, DIVER, "2031-04-22T13:20"),
    Check("P2", "diver-contact", "K2", "clear until she settles", "clear, poor water, by feel", None, None, DIVER, "2031-04-22T13:24"),
    Check("P2", "centreline", "K1", "on the line, 0.05 m either side", "keel 10 mm to starboard of the scribed line", 0.0, -0.010, DIVER, "2031-04-22T13:29"),
    Check("P2", "end-gap", "K63", "clear by 34 mm", "34 mm by taper gauge, from a boat", 0.034, 0.034, ARCHITECT, "2031-04-22T16:10"),
    Check("P2", "second-survey", "", "gaps when dry", "done from 18:50", None, None, FOREMAN, "2031-04-22T20:15"),
]


def make():
    columns = ["position", "check", "block", "planned", "recorded", "planned_value_m", "recorded_value_m", "as_planned", "by", "at"]
    write_csv("landing/checks.csv", columns, [
        {
            "position": c.position, "check": c.check, "block": c.block, "planned": c.planned, "recorded": c.recorded,
            "planned_value_m": "" if c.planned_m is None else fixed(c.planned_m, 3),
            "recorded_value_m": "" if c.recorded_m is None else fixed(c.recorded_m, 3),
            "as_planned": "yes", "by": c.by, "at": dock.with_offset(c.at),
        }
        for c in CHECKS
    ])
