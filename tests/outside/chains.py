#!/usr/bin/env python3
"""Writes chains.json: random zones, blocks, positions and coating logs, and what each part of a zone received, by shapely.

    python3 -m venv /tmp/shapely && /tmp/shapely/bin/pip install 'shapely==2.2.*'
    /tmp/shapely/bin/python tests/outside/chains.py

The program cuts a zone into cells and follows each through the log. Here each job's steel is found first, from the words of
the log alone, and what received exactly these jobs and no others is then cut out of the zone, class by class:

- a job counts where the zone was free of blocks, if it lies wholly in one position's dry spell, and nowhere otherwise;
- `all` and `exposed` claim the zone, an area claims itself, `patches` claim what the positions before had hidden less what has
  every coat of the scheme by then and what stands on a block again;
- of every claim of `patches` in a dry spell the area is written too.

A class has one letter for each position, h for hidden and e for exposed; a chain is the numbers of the jobs in order of time.
shapely is told a grid of 1e-9 m: without it, nearly collinear edges lost a whole overlap.
"""

import json
from itertools import product
from pathlib import Path
from random import Random

import shapely
from areas import GRID, SMALL_YAWS, flat, hidden, ship_shape
from shapely import Polygon, box

CASES = 200
NOTHING = 1e-6  # square metres


def both(a, b):
    return flat(shapely.intersection(a, b, grid_size=GRID))


def without(a, b):
    return flat(shapely.difference(a, b, grid_size=GRID))


def union(shapes):
    return flat(shapely.union_all(list(shapes), grid_size=GRID))


def steel_of(case, zone, hid):
    """What each coat of the log reached, by its number."""
    reached = {}
    coats = case["coats"]
    for number in sorted(range(len(coats)), key=lambda n: (coats[n]["from_h"], n)):
        coat = coats[number]
        spell = [n for n, (dry, water) in enumerate(case["dry_h"]) if dry <= coat["from_h"] and coat["to_h"] <= water]
        if not spell:
            continue
        if coat["claim"] == "patches":
            before = [n for n, (_, water) in enumerate(case["dry_h"]) if water < coat["from_h"]]
            done = zone
            for wanted in range(1, case["scheme"] + 1):
                done = both(done, union(shape for n, shape in reached.items() if coats[n]["coat"] == wanted))
            claimed = without(without(both(zone, union(hid[n] for n in before)), done), hid[spell[0]])
            coat["claimed_m2"] = round(claimed.area, 7)
        elif coat["claim"] == "area":
            claimed = both(zone, Polygon(coat["area"]))
        else:
            claimed = zone
        reached[number] = without(claimed, hid[spell[0]])
    return reached


def chains(case):
    zone, hid = Polygon(case["zone"]), [hidden(case["rows"], lie) for lie in case["lies"]]
    reached = steel_of(case, zone, hid)
    found = {}
    for name in product("he", repeat=len(hid)):
        left = flat(zone)
        for letter, shape in zip(name, hid):
            left = both(left, shape) if letter == "h" else without(left, shape)
        parts = {"": left}
        for number, shape in reached.items():
            cut = {}
            for chain, part in parts.items():
                for longer, piece in ((f"{chain} {number}".strip(), both(part, shape)), (chain, without(part, shape))):
                    if piece.area > NOTHING:
                        cut[longer] = piece
            parts = cut
        for chain, part in parts.items():
            if part.area > NOTHING:
                found[f"{''.join(name)}: {chain}".strip()] = round(part.area, 7)
    return found


def random_log(random, dry_h, length, coats_of_scheme):
    """Coats put on in order in each spell, with claims and times as logs have them, some of them at the wrong time."""
    coats = []
    for number, (dry, water) in enumerate(dry_h):
        words = ["exposed", "exposed", "all", "area", "patches"] if number == 0 else ["patches", "patches", "area", "exposed"]
        claim = random.choice(words)
        for coat in range(1, coats_of_scheme + 1):
            if random.random() < 0.12:
                continue
            begun = random.randint(dry + 1, water - 4)
            if random.random() < 0.1:
                begun = random.choice([dry - 2, water - 1, water + 3])
            entry = {"coat": coat, "from_h": begun, "to_h": begun + random.randint(0, 3), "claim": claim if random.random() < 0.8 else random.choice(words)}
            if entry["claim"] == "area":
                x, half = round(random.uniform(-1, length), 2), round(random.uniform(0.2, 2), 2)
                far = x + round(random.uniform(0.4, 9), 2)
                entry["area"] = [[x, -half], [far, -half], [far + random.choice([0, 0.3]), half], [x, half]]
            coats.append(entry)
    # In their order for the most part, so that chains grow; a few out of it.
    for spell in dry_h:
        own = [coat for coat in coats if spell[0] < coat["from_h"] < spell[1] - 4]
        if random.random() < 0.85:
            for coat, begun in zip(sorted(own, key=lambda coat: coat["coat"]), sorted(coat["from_h"] for coat in own)):
                coat["to_h"] += begun - coat["from_h"]
                coat["from_h"] = begun
    return coats


def random_case(random, number):
    blocks = random.choice([2, 5, 12])
    pitch = random.choice([1.4, 1.2, round(random.uniform(0.8, 2.0), 3)])
    length = random.choice([0.6, pitch / 2, round(random.uniform(0.3, 0.9), 3)])
    start, srp = round(random.uniform(15, 17), 2), round(random.uniform(11, 14), 2)
    rows = [[blocks, start, pitch, 0.0, length, 1.2, random.choice([0.0, 0.0, 12.0])]]
    if number % 3 == 0:
        rows.append([random.randint(1, 4), start + 1, 2.1, round(random.uniform(1, 2), 2), 0.9, 0.7, 8.0])
    lies = [[srp, 0.0, 0.0]]
    for _ in range(random.choice([1, 2])):
        shift = random.choice([0.7, length, length / 2, round(random.uniform(-1, 1), 3)])
        lies.append([round(lies[-1][0] - shift, 6), random.choice([0.0, 0.01]), random.choice(SMALL_YAWS + [0.05])])
    span = round(blocks * pitch + 6, 1)
    zone = ship_shape(random, span, random.choice([0.5, 2.0]))
    if number % 4 == 1:  # a zone of the bottom with an edge along the blocks' own
        zone = [[x, y] for x, y in box(1.0, -0.6, span - 1.0, 0.6).exterior.coords[:-1]]
    begun, dry_h = 20, []
    for _ in lies:
        end = begun + random.randint(40, 90)
        dry_h.append([begun, end])
        begun = end + 12
    scheme = random.choice([1, 2, 3, 4])
    return {"zone": zone, "rows": rows, "lies": lies, "dry_h": dry_h, "scheme": scheme, "coats": random_log(random, dry_h, span, scheme)}


def main():
    random = Random(20310422)
    cases = []
    for number in range(CASES):
        case = random_case(random, number)
        case["chains_m2"] = chains(case)
        cases.append(json.dumps(case, separators=(",", ":")))
    text = '{"shapely":"%s","cases":[\n%s\n]}\n' % (shapely.__version__, ",\n".join(cases))
    Path(__file__).with_suffix(".json").write_text(text, encoding="ascii")


if __name__ == "__main__":
    main()
