"""remarks.toml, the answers to what differs or is beyond a limit; and README.txt."""

import dock
import remarks
from writing import write_text

STRIP_13 = (
    "Block 13 is 1.40 m of cap in one, and we shifted her 1.19 m: a strip of the flat keel 0.21 m wide near frame 58 stood on it both times. "
    "No blast and no paint there. Next time stand one single block in its place."
)
STRIP_4S = (
    "Block 4S was set up on the long sleeper, 1.35 m, and reached over its own place of P1 by 0.16 m. "
    "The strip is in the bottom starboard, frame 94, and was neither blasted nor painted."
)
REMARKS = [
    ("exposure.never_exposed", dock.NAVAL_ARCHITECT, "2006-10-05", STRIP_13 + " " + STRIP_4S),
    ("coating.zone.KL.complete", dock.NAVAL_ARCHITECT, "2006-10-05", STRIP_13),
    ("coating.zone.BS.complete", dock.NAVAL_ARCHITECT, "2006-10-05", STRIP_4S),
    *((f"coating.KL.coat{n}-2.claim", dock.COATING_INSPECTOR, "2006-10-05", "All but the strip over block 13.") for n in (1, 2, 3)),
    *((f"coating.BS.coat{n}-2.claim", dock.COATING_INSPECTOR, "2006-10-05", "All but the strip over block 4S.") for n in (1, 2, 3)),
]

TEXT = """Calder Wren, docking of 2006
============================

These are the records of a dry-docking that never took place. The ship, the
dock, the port, the people and the papers are all invented, and any likeness to
a real one is chance.

It is the docking before that of the sample project: the two show how one
docking is handed on to the next. The files are written by
tests/sample/older/make.py; change that and not these.
"""


def make():
    write_text("remarks.toml", "\n".join(remarks.remark(*entry) for entry in REMARKS))
    write_text("README.txt", TEXT)
