#!/usr/bin/env python3
"""Writes areas.json: random block plans and positions, and the area of each class by shapely.

    python3 -m venv /tmp/shapely && /tmp/shapely/bin/pip install 'shapely==2.2.*'
    /tmp/shapely/bin/python tests/outside/areas.py

A class is the bottom that was hidden in exactly the same positions; its name has one letter for each
position, h for hidden and e for exposed. Without an outline the class that no position hid has no
bounds and is left out. shapely is told a grid of 1e-9 m: without it, nearly collinear edges lost a
whole overlap.
"""

import json
from itertools import product
from math import cos, radians, sin
from pathlib import Path
from random import Random

import shapely
from shapely import MultiPolygon, Polygon

GRID = 1e-9
CASES = 300
SMALL_YAWS = [0.0, 1e-9, -1e-9, 1e-8, 1e-7, -1e-7, 1e-6, -1e-6]


def turned(angle_deg, x, y):
    angle = radians(angle_deg)
    return x * cos(angle) - y * sin(angle), x * sin(angle) + y * cos(angle)


def caps(row):
    """A row of blocks: how many, station of the first, pitch, offset, length, width, skew."""
    count, station, pitch, offset, length, width, skew = row
    for n in range(count):
        corners = [turned(skew, x * length / 2, y * width / 2) for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
        yield [(station + n * pitch + x, offset + y) for x, y in corners]


def hidden(rows, lie):
    station, offset, yaw = lie
    shapes = [Polygon([turned(-yaw, x - station, y - offset) for x, y in cap]) for row in rows for cap in caps(row)]
    return shapely.union_all(shapes, grid_size=GRID)


def flat(shape):
    """The parts of a shape that have an area: edges that touch leave lines and points too."""
    return MultiPolygon([part for part in shapely.get_parts(shape) if isinstance(part, Polygon) and part.area])


def classes(bottom, hidden_in):
    whole = Polygon(bottom) if bottom else shapely.union_all(hidden_in, grid_size=GRID)
    found = {}
    for name in product("he", repeat=len(hidden_in)):
        shape = whole
        for letter, hid in zip(name, hidden_in):
            cut = shapely.intersection if letter == "h" else shapely.difference
            shape = flat(cut(shape, hid, grid_size=GRID))
        if bottom or "h" in name:
            found["".join(name)] = round(shape.area, 7)
    return found


def ship_shape(random, length, half):
    """An outline like a ship's bottom: full amidships, fine at the ends."""
    stations = sorted({0.0, length} | {round(random.uniform(0.5, length - 0.5), 2) for _ in range(5)})
    breadth = [round(half * min(1.0, 0.1 + 4.0 * x * (length - x) / length**2), 3) for x in stations]
    return [[x, -b] for x, b in zip(stations, breadth)] + [[x, b] for x, b in zip(reversed(stations), reversed(breadth))]


def random_case(random, number):
    blocks = random.choice([1, 2, 5, 12, 40])
    pitch = random.choice([1.4, 1.2, round(random.uniform(0.5, 2.5), 3)])
    length = random.choice([0.6, pitch / 2, pitch, round(random.uniform(0.3, 1.2), 3)])
    skew = random.choice([0.0, 0.0, round(random.uniform(-45, 45), 2), random.choice(SMALL_YAWS), 90.0])
    start, srp = round(random.uniform(15, 20), 2), round(random.uniform(8, 14), 2)
    rows = [[blocks, start, pitch, round(random.uniform(-0.05, 0.05), 3), length, 1.2, skew]]
    if number % 2:
        for side in (-1, 1):
            offset, turn = side * round(random.uniform(1, 4), 2), side * round(random.uniform(0, 20), 1)
            rows.append([random.randint(1, 6), start + 1, round(random.uniform(1.5, 4), 2), offset, 0.9, 0.7, turn])
    yaw = random.choice(SMALL_YAWS) if number % 3 else round(random.uniform(-0.5, 0.5), 3)
    lies = [[srp, 0.0, random.choice([0.0, yaw])]]
    for _ in range(random.choice([1, 1, 2])):
        shift = random.choice([0.0, pitch, length, length / 2, 0.7, round(random.uniform(-2, 2), 3)])
        athwart = random.choice([0.0, 0.0, round(random.uniform(-0.1, 0.1), 3)])
        lies.append([srp - shift, athwart, random.choice([0.0, yaw, random.choice(SMALL_YAWS)])])
    bottom = None
    if number % 4:
        bottom = ship_shape(random, round(blocks * pitch + 12, 1), random.choice([0.5, 2.0, 5.0]))
    return {"bottom": bottom, "rows": rows, "lies": lies}


def main():
    random = Random(20310407)
    cases = []
    for number in range(CASES):
        case = random_case(random, number)
        case["classes_m2"] = classes(case["bottom"], [hidden(case["rows"], lie) for lie in case["lies"]])
        cases.append(json.dumps(case, separators=(",", ":")))
    text = '{"shapely":"%s","cases":[\n%s\n]}\n' % (shapely.__version__, ",\n".join(cases))
    Path(__file__).with_suffix(".json").write_text(text, encoding="ascii")


if __name__ == "__main__":
    main()
