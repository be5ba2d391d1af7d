"""Writing the sample's files: CSV, plain text, repeatable scatter."""

import csv
import io
import random
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2] / "sample-project"

_written = set()


def write_bytes(name, content):
    """Write one file of the sample project; remember that this run made it."""
    path = ROOT / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)
    _written.add(path)


def write_text(name, text):
    write_bytes(name, text.encode("utf-8"))


def write_csv(name, columns, rows):
    """Rows are dicts of finished text; a missing key is an empty cell."""
    out = io.StringIO()
    writer = csv.DictWriter(out, columns, restval="", lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    write_text(name, out.getvalue())


def not_made_here():
    """Files in the sample project that this run did not write."""
    return sorted(str(p.relative_to(ROOT)) for p in ROOT.rglob("*") if p.is_file() and p not in _written)


class Scatter:
    """Readings' scatter, the same on every run. One per subject, so that a new file never changes an old one.

    Only Random.random() is used: Python promises its sequence for ever, and not that of the other methods.
    """

    def __init__(self, subject):
        self._random = random.Random("Calder Wren 2031: " + subject)

    def bell(self, spread):
        """Roughly normal about 0, standard deviation `spread`, never beyond 3.5 of it."""
        return (sum(self._random.random() for _ in range(4)) - 2.0) / (4 / 12) ** 0.5 * spread

    def within(self, most):
        """Even between -most and +most."""
        return (2.0 * self._random.random() - 1.0) * most


def rounded(value, step):
    """As a person writes a reading: to the nearest `step`."""
    return round(value / step) * step


def fixed(value, decimals):
    """A number as text, never `-0.000`."""
    text = f"{value:.{decimals}f}"
    return text.lstrip("-") if float(text) == 0.0 else text
