#!/usr/bin/env python3
"""Writes history.json: random dockings of one ship laid over each other, by shapely.

    python3 -m venv /tmp/shapely && /tmp/shapely/bin/pip install 'shapely==2.2.*'
    /tmp/shapely/bin/python tests/outside/history.py

A case has two to four dockings, the oldest first, each with its own blocks, one to three positions, and a log of coats and
blasting. Every coat has a day of its own. What it reached follows from the words of the log alone:

- `all` and `exposed` reach what the position left free, an area reaches what of itself the position left free;
- `patches` reach what the positions before had hidden, less what the docking coated already, less what the position hides.

What lies uppermost is found from above: each part belongs to the newest coat that reached it and was not blasted off again, and to
a docking's blasting where none of its coats is left. Of that, what is narrower than a tenth of a millimetre is left out, as the program leaves it out. shapely is told a grid of 1e-9 m: without it, nearly collinear edges lost a whole overlap.
"""

import json
from functools import reduce
from pathlib import Path
from random import Random

import shapely
from areas import GRID, SMALL_YAWS, flat, hidden, ship_shape
from shapely import MultiPolygon, Polygon

CASES = 150
DAYS_APART = 10  # from one position's dry spell to the next
NOTHING = 1e-6  # square metres
THREAD = 1e-4  # metres


def both(a, b):
    return flat(shapely.intersection(a, b, grid_size=GRID))


def without(a, b):
    return flat(shapely.difference(a, b, grid_size=GRID))


def union(shapes):
    return flat(shapely.union_all(list(shapes), grid_size=GRID))


def wide(shape):
    """A shape without its threads."""
    core = shape.buffer(-THREAD / 2, join_style="mitre")
    return both(shape, core.buffer(THREAD / 2, join_style="mitre")) if core.area else MultiPolygon()


def reached(entry, bottom, hid, coated):
    position = entry["day"] // DAYS_APART
    if entry["claim"] == "area":
        claimed = both(bottom, Polygon(entry["area"]))
    elif entry["claim"] == "patches":
        claimed = without(union(hid[:position]), coated)
    else:
        claimed = bottom
    return without(claimed, hid[position])


def layers_of(docking, bottom, hid):
    """What a docking left on the bottom, the uppermost first, each under its name. Blasting comes early in its day."""
    found, coated, blasted = [], MultiPolygon(), []
    log = [(entry["day"], 1, entry) for entry in docking["coats"]] + [(entry["day"], 0, entry) for entry in docking["blasts"]]
    for day, is_coat, entry in sorted(log, key=lambda one: one[:2]):
        shape = reached(entry, bottom, hid, coated)
        if is_coat:
            found.insert(0, (str(day), shape))
            coated = union([coated, shape])
        else:
            found = [(name, without(coat, shape)) for name, coat in found]
            coated = without(coated, shape)
            blasted.append(shape)
    return found + ([("blasted", union(blasted))] if blasted else [])


def answer(case):
    dockings = case["dockings"]
    hid = [[hidden(docking["rows"], lie) for lie in docking["lies"]] for docking in dockings]
    if case["bottom"]:
        bottom = Polygon(case["bottom"])
        hid = [[both(bottom, shape) for shape in shapes] for shapes in hid]
    else:
        bottom = union(shape for shapes in hid for shape in shapes)
    left = [reduce(both, shapes) for shapes in hid]
    bare, uppermost, where = flat(bottom), {}, {}
    for number in reversed(range(len(dockings))):
        for name, shape in layers_of(dockings[number], bottom, hid[number]):
            name = f"{number} {name}"
            where[name] = wide(both(bare, shape))
            bare = without(bare, shape)
            if where[name].area > NOTHING:
                uppermost[name] = round(where[name].area, 7)
    bare = wide(bare)
    newest = str(len(dockings) - 1)
    older = {name: shape for name, shape in where.items() if name.split()[0] != newest or name.endswith("blasted")}
    patches = {name: wide(both(union(hid[-1]), shape)).area for name, shape in [*older.items(), ("none", bare)]}
    return {
        "never_exposed_m2": round(reduce(both, left).area, 7),
        "left_m2": [round(shape.area, 7) for shape in left],
        "still_m2": [round(reduce(both, left[number:]).area, 7) for number in range(len(left))],
        "uppermost_m2": uppermost,
        "no_coat_m2": round(bare.area, 7),
        "patches_m2": {name: round(area, 7) for name, area in patches.items() if area > NOTHING},
    }


def random_entry(random, position, day, length):
    words = ["exposed", "exposed", "all", "area"] if position == 0 else ["patches", "patches", "patches", "exposed", "area"]
    entry = {"day": DAYS_APART * position + day, "claim": random.choice(words)}
    if entry["claim"] == "area":
        x, half = round(random.uniform(0, length), 2), round(random.uniform(0.2, 2), 2)
        far = x + round(random.uniform(0.4, length / 2), 2)
        entry["area"] = [[x, -half], [far, -half], [far + random.choice([0, 0.3]), half], [x, half]]
    return entry


def random_docking(random, before, length, with_log):
    srp = round(random.uniform(8, 14), 2)
    if before and random.random() < 0.5:  # the same plan again, moved or not
        move = random.choice([0.0, 0.0, 0.1, round(random.uniform(-0.7, 0.7), 3)])
        rows = [[count, round(x + srp + move, 6), *rest] for count, x, *rest in before]
    else:
        pitch = random.choice([1.4, 2.1, round(random.uniform(0.9, 2.5), 3)])
        cap = random.choice([0.6, pitch / 2, round(random.uniform(0.4, 1.2), 3)])
        start = round(random.uniform(0.5, 3), 2)
        rows = [[max(1, int((length - start) / pitch)), round(start + srp, 6), pitch, 0.0, cap, 1.2, random.choice([0.0, 0.0, 6.0])]]
        for side in (-1, 1) if random.random() < 0.4 else ():
            offset, turn = side * round(random.uniform(1, 2), 2), side * round(random.uniform(0, 20), 1)
            rows.append([random.randint(1, 4), round(start + srp + 1, 6), round(random.uniform(2, 4), 2), offset, 0.9, 0.7, turn])
    lies = [[srp, random.choice([0.0, 0.01]), random.choice(SMALL_YAWS + [0.05])]]
    for _ in range(random.choice([0, 1, 1, 1, 2])):
        shift = random.choice([0.7, 0.3, rows[0][4], round(random.uniform(-1, 1), 3)])
        lies.append([round(lies[-1][0] - shift, 6), random.choice([0.0, 0.01]), random.choice(SMALL_YAWS)])
    coats, blasts = [], []
    if with_log:
        for position in range(len(lies)):
            for day in random.sample(range(1, 7), random.choice([0, 1, 1, 1, 2])):
                coats.append(random_entry(random, position, day, length))
            if random.random() < 0.3:
                blast = random_entry(random, position, random.randint(1, 6), length)
                blasts.append({**blast, "claim": "exposed" if blast["claim"] == "patches" else blast["claim"]})
    plan = [[count, round(x - srp, 6), *rest] for count, x, *rest in rows]
    return plan, {"rows": rows, "lies": lies, "coats": coats, "blasts": blasts}


def random_case(random, number):
    length = round(random.uniform(6, 24), 1)
    outlined = number % 6 != 5
    plan, dockings = None, []
    for _ in range(random.choice([2, 2, 3, 4])):
        plan, docking = random_docking(random, plan, length, outlined)
        dockings.append(docking)
    return {"bottom": ship_shape(random, length, random.choice([0.5, 2.0])) if outlined else None, "dockings": dockings}


def main():
    random = Random(20090922)
    cases = []
    for number in range(CASES):
        case = random_case(random, number)
        cases.append(json.dumps({**case, **answer(case)}, separators=(",", ":")))
    text = '{"shapely":"%s","cases":[\n%s\n]}\n' % (shapely.__version__, ",\n".join(cases))
    Path(__file__).with_suffix(".json").write_text(text, encoding="ascii")


if __name__ == "__main__":
    main()
