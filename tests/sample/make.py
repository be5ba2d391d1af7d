#!/usr/bin/env python3
"""Writes sample-project/: the records of an invented docking. Same bytes on every run.

    python3 tests/sample/make.py

Needs Python 3.9 or later; the pictures also need Pillow, and are left as they are without it.
Each module here has one subject; hull.py and dock.py hold what the others share. A new subject is a module
with a `make` function, added to the list below.
"""

import anodes
import bilge
import blocks
import bottom
import checks
import climate
import coats
import crossings
import divers
import docking
import drafts
import film
import gaps
import gauges
import holds
import hullform
import keel
import layers
import moved
import openings
import papers
import plan_positions
import plating
import positions
import preparation
import products
import readme
import remarks
import scheme
import stops
import stripes
import tested
import water
import weights
import zones
from writing import not_made_here

SUBJECTS = [
    readme, docking, blocks, bottom, keel, layers, openings, plan_positions, positions, divers, hullform, weights, moved, drafts, stops, water, crossings, checks, gaps, bilge, holds,
    zones, products, scheme, preparation, coats, stripes, climate, film, gauges, tested, plating, anodes, papers, remarks,
]


def main():
    for subject in SUBJECTS:
        subject.make()
    for name in not_made_here():
        print("not written by this run:", name)


if __name__ == "__main__":
    main()
