"""landing/holds.csv: hold points as they were signed, by whom and when."""

import dock
from writing import write_csv

COLUMNS = ["position", "hold", "from_frame", "to_frame", "by", "at", "note"]

MASTER, ARCHITECT, ENGINEER = dock.DOCKMASTER, dock.NAVAL_ARCHITECT, dock.CHIEF_ENGINEER
FOREMAN, DIVER = dock.BLOCK_FOREMAN, dock.DIVING_SUPERVISOR

HOLDS = [
    ("P1", "blocks-accepted", "", "", ARCHITECT, "2031-04-07T04:55", "K23 and BS6 as answered"),
    ("P1", "gate-seated", "", "", MASTER, "2031-04-07T09:10", ""),
    ("P1", "lined-up", "", "", MASTER, "2031-04-07T11:36", "after the second round of the divers"),
    ("P1", "touch-accepted", "", "", DIVER, "2031-04-07T11:50", ""),
    ("P1", "divers-inspected", "8", "70", DIVER, "2031-04-07T12:25", "keel and both rows of bilge blocks, after half"),
    ("P1", "divers-inspected", "70", "144", DIVER, "2031-04-07T13:45", "forward half"),
    ("P1", "landing-accepted", "", "", MASTER, "2031-04-07T14:00", ""),
    ("P1", "dry-accepted", "", "", FOREMAN, "2031-04-07T18:40", "wedges gone round"),
    ("P1", "flooding-allowed", "", "", ENGINEER, "2031-04-22T06:00", "register of openings gone through"),
    ("P1", "flooding-allowed", "", "", MASTER, "2031-04-22T06:10", ""),
    ("P1", "afloat-accepted", "", "", ENGINEER, "2031-04-22T09:25", ""),
    ("P2", "blocks-accepted", "", "", ARCHITECT, "2031-04-22T05:50", "K45 out"),
    ("P2", "gate-seated", "", "", MASTER, "2031-04-22T09:40", "not moved for the shift"),
    ("P2", "lined-up", "", "", MASTER, "2031-04-22T12:55", ""),
    ("P2", "touch-accepted", "", "", DIVER, "2031-04-22T13:18", ""),
    ("P2", "divers-inspected", "8", "144", DIVER, "2031-04-22T14:30", "poor water, by feel"),
    ("P2", "landing-accepted", "", "", MASTER, "2031-04-22T14:45", ""),
    ("P2", "dry-accepted", "", "", FOREMAN, "2031-04-22T20:20", ""),
    ("P2", "flooding-allowed", "", "", ENGINEER, "2031-04-29T05:15", ""),
    ("P2", "flooding-allowed", "", "", MASTER, "2031-04-29T05:30", ""),
    ("P2", "afloat-accepted", "", "", ENGINEER, "2031-04-29T08:45", ""),
]


def make():
    rows = [dict(zip(COLUMNS, [*row[:5], dock.with_offset(row[5]), row[6]])) for row in HOLDS]
    write_csv("landing/holds.csv", COLUMNS, rows)
