#!/usr/bin/env python3
"""Writes sample-project/: the records of an invented docking (design.md section 13). Same bytes on every run.

    python3 tests/sample/make.py

Needs Python 3.9 or later; the pictures also need Pillow, and are left as they are without it.
Each module here has one subject; hull.py and dock.py hold what the others share. A new subject is a module
with a `make` function, added to the list below.
"""

import blocks
import bottom
import docking
import openings
import papers
import positions
import readme
import remarks
from writing import not_made_here

SUBJECTS = [readme, docking, blocks, bottom, openings, positions, papers, remarks]


def main():
    for subject in SUBJECTS:
        subject.make()
    for name in not_made_here():
        print("not written by this run:", name)


if __name__ == "__main__":
    main()
