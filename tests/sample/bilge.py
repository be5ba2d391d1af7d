"""landing/bilge.csv: bilge blocks as they were set: some hauled once she sat on her keel blocks, some wedged in the dry."""

import dock
from writing import write_csv

COLUMNS = ["position", "block", "how", "hauled_at", "wedged_mm", "wedged_at", "by", "note"]

FOREMAN = dock.BLOCK_FOREMAN

BILGE = [
    ("P1", "BP8", "hauled", "2031-04-07T12:44", "", "", "both hauled from the cope"),
    ("P1", "BS8", "hauled", "2031-04-07T12:46", "", "", ""),
    ("P1", "BP9", "hauled", "2031-04-07T12:51", "", "", ""),
    ("P1", "BS9", "hauled", "2031-04-07T12:52", "", "", ""),
    ("P1", "BP12", "fixed", "", "11", "2031-04-07T19:20", "softwood, by hand only"),
    ("P1", "BS12", "fixed", "", "12", "2031-04-07T19:25", ""),
    ("P2", "BP8", "hauled", "2031-04-22T14:05", "", "", ""),
    ("P2", "BS8", "hauled", "2031-04-22T14:06", "", "", ""),
    ("P2", "BP9", "fixed", "", "", "", "stands under the outlet of the inlet, not moved"),
]


def make():
    at = lambda time: dock.with_offset(time) if time else ""
    rows = [
        dict(zip(COLUMNS, (position, block, how, at(hauled), wedged, at(wedged_at), FOREMAN, note)))
        for position, block, how, hauled, wedged, wedged_at, note in BILGE
    ]
    write_csv("landing/bilge.csv", COLUMNS, rows)
