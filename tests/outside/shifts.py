#!/usr/bin/env python3
"""Writes shifts.json: random block plans before and after a shift, and what each shift leaves hidden twice, by shapely.

    python3 -m venv /tmp/shapely && /tmp/shapely/bin/pip install 'shapely==2.2.*'
    /tmp/shapely/bin/python tests/outside/shifts.py

The program finds the shifts at which caps meet from their edges. Here nothing is known of edges: the caps are slid step by
step, the area in common is measured, and where it comes to a square millimetre or ceases to, the place is found by halving.

- areas: the bottom hidden both before and after, at lengths slid drawn at random;
- bands: lengths slid that leave under a square millimetre; narrower ones than two steps may be overlooked;
- least: on small plans the widest band that leaving out one, two or three blocks gives, by trying every set of blocks;
- pairs: on small plans the least furthest shift of all pairs of a coarse grid that leave nothing hidden three times.

- sample: the bands of sample-project, blocks of P1 against those of P2, both where they bear in P1 as recorded.

shapely is told a grid of 1e-9 m: without it, nearly collinear edges lost a whole overlap.
"""

import csv
import json
from itertools import combinations
from math import cos, radians, sin
from pathlib import Path
from random import Random

import shapely
from shapely import Polygon, affinity

GRID = 1e-9
NOTHING = 1e-6  # square metres
STEPS = 300
SAMPLE = Path(__file__).resolve().parents[2] / "sample-project"
SMALL_TURNS = [1e-9, -1e-8, 1e-7, 1e-6]


def turned(angle_deg, x, y):
    angle = radians(angle_deg)
    return x * cos(angle) - y * sin(angle), x * sin(angle) + y * cos(angle)


def cap(block):
    x, y, length, width, turn = block
    corners = [turned(turn, a * length / 2, b * width / 2) for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
    return Polygon([(x + a, y + b) for a, b in corners])


def both(a, b):
    return shapely.intersection(a, b, grid_size=GRID)


def union(shapes):
    return shapely.union_all(list(shapes), grid_size=GRID)


def slid(shape, way, by):
    return affinity.translate(shape, by, 0) if way == "x" else affinity.translate(shape, 0, by)


def twice(before, after, way, by):
    return both(before, slid(after, way, by)).area


def scan(before, after, way, reach):
    """The stretches of the range whose area stays under a square millimetre."""
    clear = lambda by: twice(before, after, way, by) < NOTHING
    places = [-reach + 2 * reach * n / STEPS for n in range(STEPS + 1)]
    states = [clear(by) for by in places]

    def edge(inside, outside):
        for _ in range(45):
            middle = (inside + outside) / 2
            inside, outside = (middle, outside) if clear(middle) else (inside, middle)
        return inside

    bands, begun = [], places[0] if states[0] else None
    for n in range(1, len(places)):
        if states[n] and not states[n - 1]:
            begun = edge(places[n], places[n - 1])
        if states[n - 1] and not states[n]:
            bands.append([begun, edge(places[n - 1], places[n])])
            begun = None
    if begun is not None:
        bands.append([begun, places[-1]])
    return [[round(a, 9), round(b, 9)] for a, b in bands]


def ship_shape(random, length, half):
    """An outline like a ship's bottom: full amidships, fine at the ends, now and then with a notch."""
    stations = sorted({0.0, length} | {round(random.uniform(0.5, length - 0.5), 2) for _ in range(6)})
    breadth = [round(half * min(1.0, 0.1 + 4.0 * x * (length - x) / length**2), 3) for x in stations]
    if random.random() < 0.4:
        breadth[len(breadth) // 2] = round(breadth[len(breadth) // 2] * 0.6, 3)
    return [[x, -b] for x, b in zip(stations, breadth)] + [[x, b] for x, b in zip(reversed(stations), reversed(breadth))]


def random_line(random, blocks, turns):
    """A line of keel blocks, even or not, of one size or many."""
    pitch = random.choice([1.4, 1.2, round(random.uniform(0.9, 2.0), 3)])
    length = random.choice([0.6, pitch / 2, round(random.uniform(0.3, 0.9), 3)])
    uneven, sizes = random.choice([0, 0, 0.15, 0.4]), random.random() < 0.4
    line = []
    for n in range(blocks):
        x = round(1.0 + n * pitch + random.uniform(-uneven, uneven), 3)
        size = round(length * random.uniform(0.7, 1.3), 3) if sizes else length
        line.append([x, round(random.choice([0, 0, random.uniform(-0.1, 0.1)]), 3), size, 1.2, random.choice(turns)])
    return line, pitch


def random_plan(random, number):
    blocks = random.choice([1, 2, 4, 8, 16])
    turns = [[0.0], [0.0], [0.0, 0.0, 5.0, -12.5], SMALL_TURNS, [round(random.uniform(-45, 45), 2)]][number % 5]
    before, pitch = random_line(random, blocks, turns)
    if number % 2:
        for side in (-1, 1):
            out, turn = side * round(random.uniform(1.2, 3), 2), side * random.choice(turns)
            before += [[round(1.5 + n * 2.1, 3), out, 0.55, random.choice([0.8, 1.0]), turn] for n in range(max(1, blocks // 2))]
    # The same blocks, or some moved, turned, left out or new.
    after = [list(block) for block in before]
    if number % 3:
        for block in random.sample(after, max(1, len(after) // 5)):
            block[0] = round(block[0] + random.uniform(-0.5, 0.5), 3)
            block[4] += random.choice([0.0, 3.0])
        if len(after) > 2 and random.random() < 0.5:
            after.pop(random.randrange(len(after)))
    overlap = random.choice([0.0, 0.0, 0.025, 0.05])
    outline = ship_shape(random, round(blocks * pitch + 2, 1), random.choice([0.5, 1.0, 2.5])) if number % 4 < 2 else None
    way = "y" if number % 7 == 3 else "x"
    reach = round(1.5 * pitch if way == "x" else 2.0, 3)
    return {"before": before, "after": after, "overlap": overlap, "outline": outline, "way": way, "reach": reach}


def grown(blocks, overlap):
    return [[x, y, length + 2 * overlap, width + 2 * overlap, turn] for x, y, length, width, turn in blocks]


def sides(plan):
    before, after = (grown(plan[side], plan["overlap"]) for side in ("before", "after"))
    return [cap(block) for block in before], [cap(block) for block in after]


def answered(random, plan):
    before, after = map(union, sides(plan))
    if plan["outline"]:
        before = both(before, Polygon(plan["outline"]))
    places = [round(random.uniform(-plan["reach"], plan["reach"]), 4) for _ in range(12)] + [0.0]
    plan["areas"] = [[by, round(twice(before, after, plan["way"], by), 9)] for by in places]
    plan["bands"] = scan(before, after, plan["way"], plan["reach"])
    return plan


def interval(one, other, reach):
    """Where two caps that are no wider than a metre and a half meet, fore and aft, by steps and halving."""
    meets = lambda by: twice(one, other, "x", by) >= NOTHING
    centre = one.centroid.x - other.centroid.x
    start = next((centre + by for by in (0, 0.1, -0.1, 0.2, -0.2, 0.3, -0.3, 0.4, -0.4) if meets(centre + by)), None)
    if start is None:
        return None
    ends = []
    for way in (-1, 1):
        inside, outside = start, start + 3 * way
        for _ in range(45):
            middle = (inside + outside) / 2
            inside, outside = (middle, outside) if meets(middle) else (inside, middle)
        ends.append(inside)
    return None if ends[1] <= -reach or ends[0] >= reach else tuple(ends)


def widest(intervals, reach):
    free, most = -reach, 0.0
    for a, b in sorted(intervals) + [(reach, reach)]:
        most, free = max(most, a - free), max(free, b)
    return most


def least(random, number):
    """A small uneven line without outline, and the widest band with every set of blocks left out."""
    line, pitch = random_line(random, random.choice([3, 4, 5, 6]), [0.0] if number % 3 else [0.0, 8.0])
    for block in line:
        block[0] = round(block[0] + random.uniform(-0.25, 0.25), 3)
    plan = {"before": line, "after": line, "reach": round(1.2 * pitch, 3)}
    caps = [cap(block) for block in line]
    meetings = {}
    for i, one in enumerate(caps):
        for j, other in enumerate(caps):
            if found := interval(one, other, plan["reach"]):
                meetings[i, j] = found
    blocks = range(len(line))
    plan["of_after"], plan["of_either"] = [], []
    for count in range(4):
        left = lambda gone, pair: pair[1] not in gone
        tries = [widest([m for pair, m in meetings.items() if left(gone, pair)], plan["reach"]) for gone in combinations(blocks, count)]
        plan["of_after"].append(round(max(tries), 9) if tries else None)
        either = [("b", n) for n in blocks] + [("a", n) for n in blocks]
        tries = []
        for gone in combinations(either, count):
            stays = [m for (i, j), m in meetings.items() if ("b", i) not in gone and ("a", j) not in gone]
            tries.append(widest(stays, plan["reach"]))
        plan["of_either"].append(round(max(tries), 9))
    return plan


def pair(random):
    """A line too close for one shift, and the least furthest of two on a grid of a 40th of the range."""
    pitch = round(random.uniform(1.0, 1.6), 2)
    length = round(pitch * random.uniform(0.52, 0.62), 3)
    line = [[round(1 + n * pitch + random.uniform(-0.03, 0.03), 3), 0.0, length, 1.2, 0.0] for n in range(random.choice([3, 5]))]
    reach = round(1.5 * pitch, 3)
    before = after = union(map(cap, line))
    places = [-reach + 2 * reach * n / 80 for n in range(81)]
    found = None
    for one in sorted(places, key=abs):
        if found is not None and abs(one) >= found:
            break
        left = both(before, slid(after, "x", one))
        clear = [abs(two) for two in places if twice(left, after, "x", two) < NOTHING]
        if clear and (found is None or max(abs(one), min(clear)) < found):
            found = max(abs(one), min(clear))
    return {"before": line, "after": line, "reach": reach, "furthest": found}


def rows(name):
    with open(SAMPLE / name, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def sample(reach):
    """The sample project: which blocks stand where is in the plan, where she lay in the positions."""
    lay = next(row for row in rows("positions/positions.csv") if row["position"] == "P1")
    station, offset, yaw = (float(lay[name]) for name in ("recorded_srp_station_m", "recorded_offset_m", "yaw_deg"))
    bottom = sorted((int(row["order"]), float(row["x_m"]), float(row["y_m"])) for row in rows("plan/bottom.csv") if row["part"] == "bottom")

    def hidden(position):
        for row in rows("plan/blocks.csv"):
            if not row["positions"] or position in row["positions"].replace(";", " ").split():
                x, y = turned(-yaw, float(row["station_m"]) - station, float(row["offset_m"]) - offset)
                size = (float(row[name]) / 1000 for name in ("length_mm", "width_mm"))
                yield cap([x, y, *size, float(row["skew_deg"] or 0) - yaw])

    before = both(union(hidden("P1")), Polygon([(x, y) for _, x, y in bottom]))
    found = {}
    for name, after in (("P1", union(hidden("P1"))), ("P2", union(hidden("P2")))):
        areas = [[by / 20, round(twice(before, after, "x", by / 20), 9)] for by in range(-30, 31)]
        found[name] = {"areas": areas, "bands": scan(before, after, "x", reach)}
    return found


def main():
    random = Random(20310701)
    cases = {
        "plans": [answered(random, random_plan(random, number)) for number in range(150)],
        "least": [least(random, number) for number in range(40)],
        "pairs": [pair(random) for _ in range(12)],
        "sample": sample(2.1),
    }
    path = Path(__file__).with_suffix(".json")
    path.write_text(json.dumps(cases, separators=(",", ":")) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
