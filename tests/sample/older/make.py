#!/usr/bin/env python3
"""Writes tests/handover/calder-wren-2006/: the records of the same invented ship's docking one generation earlier.

    python3 tests/sample/older/make.py

Same bytes on every run; needs what ../make.py needs. What is the ship's (lines, keel, weights, how she floats and lies on
blocks) comes from the modules of the folder above. `dock`, `clock`, `blocks`, `layers` and `moved` here stand in for those
of the same name there, since Python looks beside the script first; all else here has names of its own.
"""

import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.append(str(HERE.parent))

import writing  # noqa: E402

writing.ROOT = HERE.parents[1] / "handover" / "calder-wren-2006"  # before the others take it over

import blocks  # noqa: E402
import bottom  # noqa: E402
import hullform  # noqa: E402
import keel  # noqa: E402
import landing  # noqa: E402
import layers  # noqa: E402
import lying  # noqa: E402
import moved  # noqa: E402
import paint  # noqa: E402
import paint_checks  # noqa: E402
import pictured  # noqa: E402
import register  # noqa: E402
import said  # noqa: E402
import settings  # noqa: E402
import shell  # noqa: E402
import weights  # noqa: E402

SUBJECTS = [
    settings, blocks, bottom, keel, layers, register, lying, hullform, weights, moved, landing, paint, paint_checks, shell, pictured, said,
]


def main():
    for subject in SUBJECTS:
        subject.make()
    for name in writing.not_made_here():
        print("not written by this run:", name)


if __name__ == "__main__":
    main()
