#!/usr/bin/env python3
"""Judges an answer of `lastdock shifts --among all --json`: reads the project's own tables and works out every choice of
the plan's positions by shapely, another way: what a position hides is what is left of the bottom once its caps are cut
out of it, and what several hide is what none of them exposes.

    choices.py PROJECT ANSWER.json

Reads plan/blocks.csv, plan/positions.csv, plan/bottom.csv, plan/openings.csv and the clearance wanted in general, with the
headings of the sample project. Prints what differs, and ends with status 1 if anything does.
"""

import csv
import json
import sys
import tomllib
from itertools import combinations, permutations
from math import cos, hypot, radians, sin
from pathlib import Path

import shapely
from shapely import Point, Polygon

GRID = 1e-9
# The program's grid is about 0.1 um, along the edges of every cap in every position.
M2 = 2e-4
M = 2e-6

UNIT = {"_m": 1.0, "_mm": 0.001, "_in": 0.0254}


def rows(path):
    if not path.exists():
        return []
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def length(row, *names):
    """A length in m under any of these headings; None if it is empty or there is none."""
    for name in names:
        for suffix, factor in UNIT.items():
            cell = (row.get(name + suffix) or "").strip()
            if cell:
                return float(cell) * factor
    return None


def box(x, y, long, wide, skew):
    angle = radians(skew)
    corners = [(-long, -wide), (long, -wide), (long, wide), (-long, wide)]
    return Polygon(
        [
            (x + (a * cos(angle) - b * sin(angle)) / 2, y + (a * sin(angle) + b * cos(angle)) / 2)
            for a, b in corners
        ]
    )


def main(project, answer):
    plan = project / "plan"
    outline = {}
    for row in rows(plan / "bottom.csv"):
        if row["part"].strip().lower() == "bottom":
            outline[int(row["order"])] = (length(row, "x"), length(row, "y"))
    bottom = Polygon([outline[n] for n in sorted(outline)]) if outline else None

    blocks = rows(plan / "blocks.csv")
    found_elsewhere = {(row.get("moved_from") or "").strip() for row in blocks}
    standing = [
        row
        for row in blocks
        if not (row.get("moved_from") or "").strip()
        and ((row.get("positions") or "").strip() != "none" or row["block"] in found_elsewhere)
    ]
    given = json.loads(answer.read_text())
    wrong = []

    def near(what, found, wanted, within):
        if found is None or abs(found - wanted) > within:
            wrong.append(f"{what}: {found}, and by shapely {wanted}")

    caps, places = {}, {}
    for position in rows(plan / "positions.csv"):
        name = position["plan_position"]
        out = {one.strip() for one in (position.get("left_out") or "").split(";")}
        station, offset = length(position, "srp_station"), length(position, "offset") or 0.0
        places[name] = (station, offset)
        caps[name] = {
            row["block"]: box(
                length(row, "station") - station,
                length(row, "offset") - offset,
                length(row, "length_fore_and_aft", "length"),
                length(row, "width_athwart", "width"),
                float((row.get("skew_deg") or "0").strip() or 0),
            )
            for row in standing
            if row["block"] not in out
        }
    everything = bottom or shapely.union_all([c for of in caps.values() for c in of.values()], grid_size=GRID)
    exposed = {
        name: shapely.difference(everything, shapely.union_all(list(of.values()), grid_size=GRID), grid_size=GRID)
        for name, of in caps.items()
    }

    openings = rows(plan / "openings.csv")

    def shape(row):
        x, y = length(row, "x"), length(row, "y")
        across = length(row, "diameter")
        if across:
            return Point(x, y).buffer(across / 2, quad_segs=512)
        return box(x, y, length(row, "length"), length(row, "width"), 0.0)

    clear = {
        name: {
            row["opening"]: min((shapely.distance(shape(row), cap) for cap in of.values()), default=None)
            for row in openings
        }
        for name, of in caps.items()
    }
    general = tomllib.loads((project / "docking.toml").read_text()).get("limits", {}).get("opening_clearance")
    of_all = general and general["value"] * UNIT["_" + general["unit"]]
    wants = {row["opening"]: length(row, "clearance_wanted") or of_all for row in openings}

    def is_near(name, opening):
        return clear[name][opening] <= 1e-4 or (wants[opening] is not None and clear[name][opening] < wants[opening])

    def is_sure(name, opening):
        """Whether no rounding of a circle decides it."""
        at = clear[name][opening]
        return all(abs(at - limit) > 1e-4 for limit in (wants[opening], 1e-4) if limit is not None) or at == 0.0

    choices = {frozenset(one["positions"]): one for one in given["choices"]}
    names = [one["position"] for one in given["offered"]]
    wanted = [frozenset(some) for n in range(1, len(names) + 1) for some in combinations(names, n)]
    if set(choices) != set(wanted) or len(choices) != len(given["choices"]):
        wrong.append(f"{len(choices)} choices, and {len(wanted)} can be made")
    for some in wanted:
        one, label = choices.get(some), "+".join(sorted(some))
        if one is None:
            continue
        never = shapely.difference(
            everything, shapely.union_all([exposed[name] for name in some], grid_size=GRID), grid_size=GRID
        )
        near(f"{label}, hidden", one["hidden_m2"], never.area, M2)

        def way(order):
            pairs = zip(order, order[1:])
            return sum(hypot(*(places[a][i] - places[b][i] for i in (0, 1))) for a, b in pairs)

        if one["beyond"] == 0:
            near(f"{label}, hauled", one["hauled_m"], min(map(way, permutations(some))), M)
        near(f"{label}, hauled in that order", one["hauled_m"], way(one["positions"]), M)
        if (one["landings"], one["refloodings"]) != (len(some), len(some) - 1):
            wrong.append(f"{label}: {one['landings']} landings, {one['refloodings']} refloodings")
        sure = [row["opening"] for row in openings if all(is_sure(name, row["opening"]) for name in some)]
        never_clear = [opening for opening in sure if all(is_near(name, opening) for name in some)]
        told = [opening for opening in one["never_clear"] if opening in sure]
        if sorted(told) != sorted(never_clear):
            wrong.append(f"{label}, never clear: {told}, and by shapely {never_clear}")
        plugs = sorted(
            (row["opening"], name)
            for row in openings
            for name in some
            if row["kind"] == "docking-plug" and row["opening"] in sure and clear[name][row["opening"]] == 0.0
        )
        told = sorted((under["plug"], under["position"]) for under in one["plugs_under"] if under["plug"] in sure)
        if told != plugs:
            wrong.append(f"{label}, plugs under caps: {told}, and by shapely {plugs}")
    for line in wrong:
        print(line)
    print(f"{len(wanted)} choices, {len(openings)} openings, {len(wrong)} wrong")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), Path(sys.argv[2])))
