#!/usr/bin/env python3
"""An independent computation of what two dockings of one ship say together, written to expected.json.

    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install shapely numpy
    /tmp/venv/bin/python tests/handover/expected.py

Reads only the files of calder-wren-2006/ and of sample-project/, shares nothing with what made them, and stops if the two
do not lie as they were meant to. Choices: areas in plan view; footprints by the recorded position and yaw; a year is 365.25
days; a coat's age runs from its finish to the last day of the newest docking; an opening whose centre lies within 50 mm
has not moved; shifts are the ship's, forward and to port +, and run over one and a half pitches of the keel blocks each way,
athwart over one and a half widest caps. A part that is on the mean no wider than a tenth of a millimetre is no area.
"""

import csv
import json
import tomllib
from datetime import date, datetime
from math import radians
from pathlib import Path

import numpy
import shapely
from shapely import Polygon, affinity, box

HERE = Path(__file__).resolve().parent
OLDER, NEWER = HERE / "calder-wren-2006", HERE.parents[1] / "sample-project"
GRID = 1e-9  # without it, nearly collinear edges can lose a whole overlap
NOTHING_M2 = 1e-6
MOVED_M = 0.05
YEAR_D = 365.25
SAME_M = 1e-9
THREAD_M = 1e-4


def rows(project, name):
    with open(project / name, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def settings(project):
    return tomllib.loads((project / "docking.toml").read_text(encoding="utf-8"))


def number(text):
    return float(text or 0.0)


# Shapes

def union(shapes):
    return shapely.union_all(list(shapes), grid_size=GRID)


def both(a, b):
    return shapely.intersection(a, b, grid_size=GRID)


def without(a, b):
    return shapely.difference(a, b, grid_size=GRID)


def throughout(shapes):
    shared = shapes[0]
    for shape in shapes[1:]:
        shared = both(shared, shape)
    return shared


def solid_m2(shape):
    return sum(part.area for part in shapely.get_parts(shape) if 2.0 * part.area > THREAD_M * part.length)


def polygon(vertices):
    return Polygon([(float(v["x_m"]), float(v["y_m"])) for v in sorted(vertices, key=lambda v: int(v["order"]))])


def pieces(shape):
    parts = [p for p in shapely.get_parts(shape) if isinstance(p, Polygon) and p.area > NOTHING_M2]
    return sorted(parts, key=lambda p: p.bounds)


# One docking

class Docking:
    def __init__(self, project):
        self.project, self.settings = project, settings(project)
        self.blocks = rows(project, "plan/blocks.csv")
        self.positions = rows(project, "positions/positions.csv")
        self.bottom = polygon([v for v in rows(project, "plan/bottom.csv") if v["part"] == "bottom"])
        self.hidden = [both(union(self.caps(p).values()), self.bottom) for p in self.positions]
        self.never = throughout(self.hidden)

    def stand(self, position):
        out = []
        for block in self.blocks:
            listed = [p for p in block.get("positions", "").split(";") if p]
            if not listed or position["position"] in listed:
                out.append(block)
        return out

    def plan(self, position):
        """As `stand`, but a block that was found elsewhere stands where it was planned."""
        stand = [b.get("moved_from") or b["block"] for b in self.stand(position)]
        return [b for b in self.blocks if b["block"] in stand]

    def planned_caps(self, position, lie):
        return {b["block"]: on_hull(b, lie) for b in self.plan(position)}

    def caps(self, position, lie=None):
        """{block: cap in hull axes} of those that stand in a position, where she lies as in `lie`."""
        return {b["block"]: on_hull(b, lie or position) for b in self.stand(position)}

    def reach_m(self):
        """One and a half pitches of the keel blocks."""
        keel = sorted(float(b["station_m"]) for b in self.stand(self.positions[0]) if b["row"] == "keel")
        return 1.5 * float(numpy.median(numpy.diff(keel)))

    def reach_athwart_m(self):
        """One and a half of the widest cap of either position."""
        return 1.5 * max(float(b["width_mm"]) for p in self.positions[:2] for b in self.stand(p)) / 1000.0

    def position_at(self, moment):
        """The position whose dry spell holds a time of the logs."""
        for n, p in enumerate(self.positions):
            if datetime.fromisoformat(p["dry"]) <= moment <= datetime.fromisoformat(p["reflood_began"]):
                return n
        raise SystemExit(f"not dry at {moment}")

    def moment(self, text):
        moment = datetime.fromisoformat(text)
        return moment if moment.tzinfo else datetime.fromisoformat(text + self.settings["period"]["offset"])

    def coats(self):
        """(day it was finished, what it reached) of every application to the bottom, in order of time."""
        zones, areas, out = {}, {}, []
        for row in rows(self.project, "coating/zones.csv"):
            if row["kind"] == "bottom":
                zones.setdefault(row["zone"], []).append(row)
        if (self.project / "coating/areas.csv").exists():
            for row in rows(self.project, "coating/areas.csv"):
                areas.setdefault(row["area"], []).append(row)
        for row in sorted(rows(self.project, "coating/coats.csv"), key=lambda row: row["began"]):
            if row["zone"] not in zones:
                continue
            zone, ended = polygon(zones[row["zone"]]), self.moment(row["ended"])
            at = self.position_at(ended)
            if row["extent"] == "patches":  # none of it has had its whole scheme before the last of these coats
                claimed = both(zone, union(self.hidden[:at]))
            else:
                claimed = zone if row["extent"] in ("exposed", "all") else both(zone, polygon(areas[row["extent"]]))
            out.append((ended, without(claimed, self.hidden[at])))
        return [(ended.date().isoformat(), reached) for ended, reached in sorted(out, key=lambda coat: coat[0])]


def on_hull(block, position):
    """A cap in hull axes: turned by its skew in the dock, then brought to where the stern reference point lies."""
    station, offset = float(block["station_m"]), float(block["offset_m"])
    half_l, half_w = float(block["length_mm"]) / 2000.0, float(block["width_mm"]) / 2000.0
    cap = affinity.rotate(box(-half_l, -half_w, half_l, half_w), number(block["skew_deg"]), origin=(0, 0))
    x, y = station - float(position["recorded_srp_station_m"]), offset - float(position["recorded_offset_m"])
    return affinity.rotate(affinity.translate(cap, x, y), -number(position["yaw_deg"]), origin=(0, 0))


# Footprints of both, and whose coat lies uppermost

def footprints(older, newer):
    was, now = union(older.hidden), union(newer.hidden)
    never = both(older.never, newer.never)
    return {
        "bottom_m2": newer.bottom.area, "older_under_blocks_m2": was.area, "newer_under_blocks_m2": now.area,
        "under_blocks_in_both_m2": solid_m2(both(was, now)),
        "older_never_exposed_m2": older.never.area, "newer_never_exposed_m2": newer.never.area,
        "reached_since_m2": without(older.never, newer.never).area, "reached_then_only_m2": without(newer.never, older.never).area,
        "never_exposed_m2": never.area, "never_exposed": [piece(p, older, newer) for p in pieces(never)],
        "older_pieces": [left(p, newer) for p in pieces(older.never)],
    }


def piece(shape, older, newer):
    hid = lambda docking: {
        p["position"]: sorted(b for b, cap in docking.caps(p).items() if both(cap, shape).area > NOTHING_M2) for p in docking.positions
    }
    x_from, y_from, x_to, y_to = shape.bounds
    return {
        "x_from_m": x_from, "x_to_m": x_to, "y_from_m": y_from, "y_to_m": y_to, "area_m2": shape.area,
        "older_blocks": hid(older), "newer_blocks": hid(newer),
    }


def left(shape, newer):
    return {"area_m2": shape.area, "x_from_m": shape.bounds[0], "x_to_m": shape.bounds[2], "still_m2": both(shape, newer.never).area}


def uppermost(dockings):
    """Area of the bottom by the docking and the day of the coat that lies uppermost, newest first; and without any."""
    bare, seen = dockings[-1].bottom, {}
    ended = dockings[-1].settings["period"]["ended"]
    for docking in reversed(dockings):
        for day, reached in reversed(docking.coats()):
            key = docking.settings["closeout"]["bundle_name"], day
            seen[key] = union([seen.get(key, Polygon()), both(bare, reached)])
            bare = without(bare, reached)
    out = [
        {
            "docking": name, "day": day, "area_m2": shape.area, "age_d": (ended - date.fromisoformat(day)).days,
            "extent_m": [union(pieces(shape)).bounds[at] for at in (0, 2, 1, 3)],
        }
        for (name, day), shape in seen.items() if shape.area > NOTHING_M2
    ]
    by_docking = {}
    for part in out:
        by_docking[part["docking"]] = by_docking.get(part["docking"], 0.0) + part["area_m2"]
    return {"parts": out, "by_docking_m2": by_docking, "no_coat_m2": bare.area}


# Openings and plates

def openings(older, newer):
    was = {r["opening"]: r for r in rows(older.project, "plan/openings.csv")}
    now = {r["opening"]: r for r in rows(newer.project, "plan/openings.csv")}
    moved = {}
    for name in was.keys() & now.keys():
        by = [float(now[name][axis]) - float(was[name][axis]) for axis in ("x_m", "y_m")]
        if numpy.hypot(*by) > MOVED_M:
            moved[name] = {"forward_m": by[0], "to_port_m": by[1]}
    return {
        "older": len(was), "newer": len(now), "added": sorted(now.keys() - was.keys()), "removed": sorted(was.keys() - now.keys()),
        "moved": moved,
    }


def least_mm(plate):
    original = float(plate["original_mm"])
    if plate["loss_limit_mm"]:
        return original - float(plate["loss_limit_mm"])
    if plate["relative_loss_limit_pct"]:
        return original * (1.0 - float(plate["relative_loss_limit_pct"]) / 100.0)
    return float(plate["least_thickness_mm"])


def plates(older, newer):
    """Plates that both dockings gauged, and their strakes."""
    now = {(r["strake"], r["plate"]): r for r in rows(newer.project, "hull/plating.csv")}
    out, strakes = {}, {}
    for then in rows(older.project, "hull/plating.csv"):
        later = now[then["strake"], then["plate"]]
        years = (datetime.fromisoformat(later["at"]).date() - datetime.fromisoformat(then["at"]).date()).days / YEAR_D
        rate = (float(then["measured_mm"]) - float(later["measured_mm"])) / years
        spare = float(later["measured_mm"]) - least_mm(later)
        years_left = 0.0 if spare < -1e-6 else spare / rate if rate > 1e-12 else None
        out[f"{then['strake']} {then['plate']}"] = {"mm_per_year": rate, "years_left": years_left}
        strakes.setdefault(then["strake"], []).append((rate, years_left))
    return out, {
        strake: {
            "plates": len(found), "mean_mm_per_year": float(numpy.mean([r for r, _ in found])), "greatest_mm_per_year": max(r for r, _ in found),
            "least_years_left": min((y for _, y in found if y is not None), default=None),
        }
        for strake, found in strakes.items()
    }


# Shifts

def convex(shape):
    """Convex parts of a cut cap: slabs between its corners."""
    if shape.is_empty:
        return []
    if shape.convex_hull.area - shape.area < 1e-12:
        return [p for p in shapely.get_parts(shape) if p.area > 1e-12]
    xs = sorted({x for x, _ in shapely.get_coordinates(shape)})
    slabs = [both(shape, box(a, -99.0, b, 99.0)) for a, b in zip(xs, xs[1:])]
    return [p.convex_hull for slab in slabs for p in shapely.get_parts(slab) if isinstance(p, Polygon) and p.area > 1e-12]


def chord(shape, y):
    """Least and greatest x of a convex shape at a y that it holds."""
    points = shapely.get_coordinates(shape)
    xs = []
    for (x0, y0), (x1, y1) in zip(points, points[1:]):
        if min(y0, y1) - 1e-12 <= y <= max(y0, y1) + 1e-12:
            xs += [x0, x1] if abs(y1 - y0) < 1e-12 else [x0 + (x1 - x0) * min(1.0, max(0.0, (y - y0) / (y1 - y0)))]
    return min(xs), max(xs)


def meeting(still, slid):
    """The open interval of lengths slid forward over which the insides of two convex shapes meet; None if never.

    At each y both shapes have a chord; the chords meet over an interval, and the ends of their union lie at corners."""
    low = max(still.bounds[1], slid.bounds[1])
    high = min(still.bounds[3], slid.bounds[3])
    if high - low < SAME_M:
        return None
    ys = {low, high} | {y for shape in (still, slid) for _, y in shapely.get_coordinates(shape) if low < y < high}
    chords = [(chord(still, y), chord(slid, y)) for y in ys]
    return min(a[0] - b[1] for a, b in chords), max(a[1] - b[0] for a, b in chords)


def shifts(docking):
    """From the first position as she lay to the second as its blocks are planned: shifts after which nothing is hidden twice, and by
    leaving blocks out; the same with the blocks as they were found."""
    first, second = docking.positions[0], docking.positions[1]
    before = [part for cap in docking.caps(first).values() for part in convex(both(cap, docking.bottom))]
    planned = docking.planned_caps(second, first)
    return shifts_between(docking, before, planned) | {"as_found": shifts_between(docking, before, docking.caps(second, first))}


def shifts_between(docking, before, after):
    found = spans(before, after, docking.reach_m())
    across = spans([swapped(s) for s in before], {name: swapped(s) for name, s in after.items()}, docking.reach_athwart_m())
    return {
        "reach_m": docking.reach_m(), "bands": bands(found, frozenset()), "athwart": bands(across, frozenset()),
        "leaving_out_of_after": [out for count in range(1, 4) if (out := leaving_out(found, count))],
        "aims": [aim(docking, after, band) for band in bands(found, frozenset())],
    }


# Openings at an aim

STEPS = 120
LEAST_ROOM_M = 0.02  # what stations are sure to, by the program's default; the sample states no other


def gap_m(opening, cap):
    """Clear distance from an opening to a cap: a round one by its centre and radius, another by its rectangle."""
    x, y = float(opening["x_m"]), float(opening["y_m"])
    if opening["diameter_in"]:
        return max(0.0, shapely.distance(cap, shapely.Point(x, y)) - float(opening["diameter_in"]) * 0.0254 / 2.0)
    half_l, half_w = float(opening["length_mm"]) / 2000.0, float(opening["width_mm"]) / 2000.0
    return shapely.distance(cap, box(x - half_l, y - half_w, x + half_l, y + half_w))


def near(docking, caps, shift_m):
    """{opening: (clear distance, wanted, nearest block)} of those nearer to a cap than wanted, the ship shifted forward by so much."""
    general, out = docking.settings["limits"].get("opening_clearance", {}).get("value"), {}
    for opening in rows(docking.project, "plan/openings.csv"):
        wanted = number(opening["clearance_wanted_mm"] or general) / 1000.0
        there = ((gap_m(opening, affinity.translate(cap, -shift_m, 0.0)), block) for block, cap in caps.items())
        clear, block = min((found for found in there), key=lambda found: found[0])
        if clear < wanted - SAME_M:
            out[opening["opening"]] = {"clear_m": clear, "wanted_m": wanted, "block": block}
    return out


def close_by(docking, caps, band):
    """The caps that can come within a metre of an opening, so that the others need not be asked at every step."""
    swept = {block: box(*union([affinity.translate(cap, -band[end], 0.0) for end in ("from_m", "to_m")]).bounds) for block, cap in caps.items()}
    openings = rows(docking.project, "plan/openings.csv")
    return {block: caps[block] for block, shape in swept.items() if any(gap_m(opening, shape) < 1.0 for opening in openings)}


def aim(docking, caps, band):
    """The middle of the widest stretch of a band in which the fewest openings lie under a cap and then the fewest are near one, to a centimetre, found by steps and halving;
    stretches with too little room are passed over unless all are."""
    some = close_by(docking, caps, band)
    names = lambda shift_m: frozenset((name, found["clear_m"] <= 0.0) for name, found in near(docking, some, shift_m).items())
    places = [band["from_m"] + (band["to_m"] - band["from_m"]) * n / STEPS for n in range(STEPS + 1)]
    found = [names(place) for place in places]
    stretches, begun = [], places[0]
    for n in range(1, len(places)):
        if found[n] != found[n - 1]:
            low, high = places[n - 1], places[n]
            while high - low > 1e-7:
                middle = (low + high) / 2.0
                low, high = (middle, high) if names(middle) == found[n - 1] else (low, middle)
            stretches.append((found[n - 1], begun, low))
            begun = high
    stretches.append((found[-1], begun, places[-1]))
    under = lambda stretch: sum(lies_under for _, lies_under in stretch[0])
    best = min(stretches, key=lambda s: (s[2] - s[1] < 2 * LEAST_ROOM_M, under(s), len(s[0]), -round(s[2] - s[1], 6)))
    at = round((best[1] + best[2]) / 2.0, 2)
    every_clear = [{"from_m": s[1], "to_m": s[2]} for s in stretches if not s[0]]
    return {
        "shift_m": at, "near": near(docking, caps, at), "clear": every_clear,
        "miss_m": min(at - band["from_m"], band["to_m"] - at), "steady_m": min(at - best[1], best[2] - at),
    }


def swapped(shape):
    """x and y changed over, so that athwart becomes along."""
    return shapely.transform(shape, lambda points: points[:, ::-1])


def landings(older, newer):
    """Where to land first, as a shift from where it was planned, so that what the older docking never exposed is reached."""
    first = newer.positions[0]
    planned = first | {"recorded_srp_station_m": first["planned_srp_station_m"], "recorded_offset_m": first["planned_offset_m"], "yaw_deg": ""}
    caps = newer.planned_caps(first, planned)
    found = spans([part for shape in pieces(older.never) for part in convex(shape)], caps, newer.reach_m())
    return {
        "hidden_again_m2": both(older.never, union(caps.values())).area, "bands": bands(found, frozenset()),
        "aims": [aim(newer, caps, band) for band in bands(found, frozenset())],
    }


def spans(before, after, reach_m):
    """The range cut where anything begins or ceases to meet: (slid from, to, names of the caps that meet something)."""
    meet = []
    for name, cap in after.items():
        for part in before:
            interval = meeting(part, cap)
            if interval and interval[0] < reach_m and interval[1] > -reach_m:
                meet.append((name, *interval))
    ends = sorted({-reach_m, reach_m} | {e for _, a, b in meet for e in (a, b) if -reach_m < e < reach_m})
    return [(a, b, frozenset(n for n, low, high in meet if low < (a + b) / 2.0 < high)) for a, b in zip(ends, ends[1:]) if b - a > 1e-9]


def bands(spans, out):
    """Bands in the ship's shift, forward +, from the least on."""
    found = []
    for a, b, names in spans:
        if names <= out:
            if found and a - found[-1][1] < 1e-8:
                found[-1][1] = b
            else:
                found.append([a, b])
    return [{"from_m": -b, "to_m": -a} for a, b in reversed(found) if b - a > 1e-6]


def leaving_out(spans, count):
    """The widest band that leaving out just so many blocks of the second position gives; else the least middle, else aft."""
    best = None
    for i in range(len(spans)):
        names = set()
        for j in range(i, len(spans)):
            names |= spans[j][2]
            if len(names) > count:
                break
            a, b = spans[i][0], spans[j][1]
            key = (round(b - a, 6), -round(abs(a + b) / 2.0, 6), round((a + b) / 2.0, 6))
            if len(names) == count and (best is None or key > best[0]):
                best = (key, {"blocks": sorted(names), "from_m": -b, "to_m": -a})
    return best and best[1]


# The answer

def rounded(value):
    """Nine decimals, so that the file does not change with the last bit of a library."""
    if isinstance(value, dict):
        return {key: rounded(entry) for key, entry in value.items()}
    if isinstance(value, list):
        return [rounded(entry) for entry in value]
    return round(float(value), 9) + 0.0 if isinstance(value, float) else value


def stop_on_surprise(answer):
    hidden = answer["footprints"]
    meant = (
        answer["openings"]["added"] == ["ES1", "IN1", "OB7"] and answer["openings"]["removed"] == ["OB13"] and list(answer["openings"]["moved"]) == ["SL1"]
        and len(hidden["never_exposed"]) == 1 and 0.0 < hidden["never_exposed_m2"] < min(hidden["older_never_exposed_m2"], hidden["newer_never_exposed_m2"])
        and len(hidden["older_pieces"]) == 2 and any(p["still_m2"] < NOTHING_M2 for p in hidden["older_pieces"])
        and abs(answer["uppermost"]["no_coat_m2"] - hidden["never_exposed_m2"]) < 1e-4
        and max(answer["strakes"], key=lambda s: answer["strakes"][s]["mean_mm_per_year"]) == "F-S"
    )
    if not meant:
        raise SystemExit(f"not as intended: {json.dumps(rounded(answer), indent=1)}")


def main():
    older, newer = Docking(OLDER), Docking(NEWER)
    by_plate, strakes = plates(older, newer)
    answer = {
        "footprints": footprints(older, newer), "uppermost": uppermost([older, newer]), "openings": openings(older, newer),
        "plates": by_plate, "strakes": strakes, "shifts": {"older": shifts(older), "newer": shifts(newer)}, "landings": landings(older, newer),
        "next_landings": landings(newer, newer),
    }
    stop_on_surprise(answer)
    text = json.dumps(rounded(answer), indent=1, sort_keys=True, ensure_ascii=True)
    (HERE / "expected.json").write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
