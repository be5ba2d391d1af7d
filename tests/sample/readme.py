"""README.txt of the sample project."""

from writing import write_text

TEXT = """The sample project of lastdock
==============================

These are the records of a dry-docking that never took place. The ship, the
dock, the port, the people and the papers are all invented, and any likeness to
a real one is chance. The photographs are drawings. Nothing here is advice on
how to dock a ship.

A few faults are left in on purpose, as real logs have them, and each is
answered in remarks.toml.

The files are written by tests/sample/make.py; change that and not these.
"""


def make():
    write_text("README.txt", TEXT)
