#!/usr/bin/env python3
"""An independent computation of what lastdock must find in sample-project/, written to expected.json.

    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install shapely numpy
    /tmp/venv/bin/python tests/sample/expected.py

Reads only the files of the sample project, shares nothing with make.py, and stops if anything but the faults
left in on purpose fails to agree.
"""

import csv
import json
import tomllib
from datetime import datetime
from itertools import combinations
from math import cos, radians, sin
from pathlib import Path

import numpy
import shapely
from shapely import Point, Polygon, affinity

HERE = Path(__file__).resolve().parent
PROJECT = HERE.parents[1] / "sample-project"
GRID = 1e-9  # without it, nearly collinear edges can lose a whole overlap
METRES = {"m": 1.0, "mm": 0.001, "in": 0.0254}

FAULTS = {
    "exposure.never_exposed": "beyond limit",
    "openings.IN2.P2.clearance": "beyond limit",
    "plan.opening.OB7.side": "differs",
    "plan.block.K37.height": "differs",
    "positions.P2.sighting.M5": "differs",
    "openings.SC4.closed": "not recorded",
    "positions.P2.offered": "differs",
    "positions.P2.divers.landed": "differs",
    "positions.P2.divers.lay": "differs",
}

# What can't be checked and asks for no answer: two measurements give a line and leave nothing to check it by, and no
# distance follows from measurements that do not fit each other.
UNCHECKED = {"positions.P1.divers.first-touch", "positions.P2.divers.first-touch", "positions.P2.divers.plan"}

DIVERS_TOLERANCE_M = 0.020  # the program's default; the sample states none


def rows(name):
    with open(PROJECT / name, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def limit(settings, table, name):
    """A limit or tolerance in metres, square metres or degrees."""
    entry = settings[table][name]
    return entry["value"] * METRES.get(entry["unit"], 1.0)


# Positions: least squares

def turned(yaw_rad, x, y):
    return x * cos(yaw_rad) - y * sin(yaw_rad), x * sin(yaw_rad) + y * cos(yaw_rad)


def equations(sightings):
    """(mark, axis 0 station or 1 offset, hull x, hull y, reading) for each reading."""
    out = []
    for row in sightings:
        for axis, column in enumerate(("dock_station_m", "dock_offset_m")):
            if row[column]:
                out.append((row["mark"], axis, float(row["hull_x_m"]), float(row["hull_y_m"]), float(row[column])))
    return out


def fit(sightings):
    """Gauss-Newton on (station, offset, yaw) of the stern reference point, all readings of equal weight."""
    readings = equations(sightings)
    place = numpy.zeros(3)
    for _ in range(30):
        jacobian, wrong = [], []
        for _, axis, x, y, reading in readings:
            along, across = turned(place[2], x, y)
            jacobian.append([1.0, 0.0, -across] if axis == 0 else [0.0, 1.0, along])
            wrong.append(reading - place[axis] - (along, across)[axis])
        step = numpy.linalg.lstsq(numpy.array(jacobian), numpy.array(wrong), rcond=None)[0]
        place += step
        if abs(step).max() < 1e-14:
            break
    residuals = {}
    for mark, axis, x, y, reading in readings:
        residual = reading - place[axis] - turned(place[2], x, y)[axis]
        residuals.setdefault(mark, {})["station_m" if axis == 0 else "offset_m"] = residual
    return place, residuals


def size(residual):
    return sum(r * r for r in residual.values()) ** 0.5


def fit_without_slip(sightings, tolerance):
    """The fit, and the mark without which alone all others agree, None where all agree. Here each mark is seen once in a position."""
    place, residuals = fit(sightings)
    if all(size(r) <= tolerance for r in residuals.values()):
        return place, residuals, None
    found = []
    for one in sightings:
        others = [s for s in sightings if s is not one]
        place, residuals = fit(others)
        own = {}
        for mark, axis, x, y, reading in equations([one]):
            own["station_m" if axis == 0 else "offset_m"] = reading - place[axis] - turned(place[2], x, y)[axis]
        if size(own) > tolerance and all(size(r) <= tolerance for r in residuals.values()):
            found.append((place, {**residuals, one["mark"]: own}, one["mark"]))
    (only,) = found
    return only


# Footprints and exposure

def stands_in(block, position):
    listed = [p for p in block["positions"].split(";") if p]
    return not listed or position in listed


def dock_cap(block):
    """The cap in dock axes: length along the station, width along the offset, turned by the skew."""
    half_l, half_w = float(block["length_mm"]) / 2000.0, float(block["width_mm"]) / 2000.0
    skew = radians(float(block["skew_deg"] or 0))
    corners = [turned(skew, x, y) for x, y in ((-half_l, -half_w), (half_l, -half_w), (half_l, half_w), (-half_l, half_w))]
    return Polygon([(float(block["station_m"]) + x, float(block["offset_m"]) + y) for x, y in corners])


def hull_cap(block, position):
    station, offset, yaw = (float(position[c]) for c in ("recorded_srp_station_m", "recorded_offset_m", "yaw_deg"))
    moved = affinity.translate(dock_cap(block), -station, -offset)
    return affinity.rotate(moved, -yaw, origin=(0, 0))


def outline(part):
    vertices = sorted((int(r["order"]), float(r["x_m"]), float(r["y_m"])) for r in rows("plan/bottom.csv") if r["part"] == part)
    return Polygon([(x, y) for _, x, y in vertices])


def union(shapes):
    return shapely.union_all(list(shapes), grid_size=GRID)


def both(a, b):
    return shapely.intersection(a, b, grid_size=GRID)


def without(a, b):
    return shapely.difference(a, b, grid_size=GRID)


def classes(bottom, hidden):
    """Area of the bottom by the list of positions in which it was hidden, and the shape of the never exposed."""
    areas, never = {}, None
    names = list(hidden)
    for count in range(len(names) + 1):
        for chosen in combinations(names, count):
            shape = bottom
            for name in names:
                shape = both(shape, hidden[name]) if name in chosen else without(shape, hidden[name])
            areas["+".join(chosen) or "none"] = shape.area
            never = shape
    return areas, never


def pieces(shape, caps):
    """Each separate piece of the never exposed, with the blocks that hid it in each position."""
    out = []
    for piece in sorted(shapely.get_parts(shape), key=lambda p: p.bounds):
        if not isinstance(piece, Polygon) or piece.area < 1e-9:
            continue
        x_from, y_from, x_to, y_to = piece.bounds
        hid = {name: sorted(b for b, cap in at.items() if both(cap, piece).area > 1e-9) for name, at in caps.items()}
        out.append({"x_from_m": x_from, "x_to_m": x_to, "y_from_m": y_from, "y_to_m": y_to, "area_m2": piece.area, "blocks": hid})
    return out


# Openings

def clear_distance(opening, cap):
    centre = Point(float(opening["x_m"]), float(opening["y_m"]))
    if opening["diameter_in"]:
        return max(0.0, cap.distance(centre) - float(opening["diameter_in"]) * METRES["in"] / 2.0)
    half_l, half_w = float(opening["length_mm"]) / 2000.0, float(opening["width_mm"]) / 2000.0
    return cap.distance(shapely.box(centre.x - half_l, centre.y - half_w, centre.x + half_l, centre.y + half_w))


def nearest(opening, caps):
    return min((clear_distance(opening, cap), block) for block, cap in caps.items())


def frame_x(settings, frame):
    stretch = [s for s in settings["frames"] if s["from_frame"] <= frame][-1]
    return stretch["x_m"] + (frame - stretch["from_frame"]) * stretch["spacing_mm"] / 1000.0


def openings_of(opening, again):
    """All openings and closings of one opening, as rows."""
    return [row for row in [opening] + [r for r in again if r["opening"] == opening["opening"]] if row["opened_at"]]


def moment(settings, text):
    moment = datetime.fromisoformat(text)
    return moment if moment.tzinfo else datetime.fromisoformat(text + settings["period"]["offset"])


# Checks: {finding id: outcome} of all that must be found

def says(true, otherwise="differs"):
    return "agrees" if true else otherwise


def check_blocks(settings, blocks, positions):
    found = {}
    floor, slope = settings["dock"]["floor_level_m"], settings["dock"]["declivity_pct"] / 100.0
    for block in blocks:
        if block["positions"] == "none":
            continue
        top = floor + slope * float(block["station_m"]) + float(block["height_mm"]) / 1000.0
        found[f"plan.block.{block['block']}.height"] = says(
            abs(top - float(block["top_level_m"])) <= limit(settings, "tolerances", "block_height"))
    overlap = any(
        dock_cap(a).intersection(dock_cap(b)).area > 0
        for p in positions for a, b in combinations([b for b in blocks if stands_in(b, p["position"])], 2))
    found["plan.blocks.apart"] = says(not overlap)
    return found


def check_register(settings, openings):
    found = {}
    for opening in openings:
        name, x, y = opening["opening"], float(opening["x_m"]), float(opening["y_m"])
        away = abs(frame_x(settings, float(opening["frame"])) - x)
        found[f"plan.opening.{name}.frame"] = says(away <= limit(settings, "tolerances", "frame"))
        centre = limit(settings, "tolerances", "side")
        right = {"port": y > 0, "starboard": y < 0, "centre": abs(y) <= centre}[opening["side"]]
        found[f"plan.opening.{name}.side"] = says(right)
    stretches = settings["frames"]
    found["plan.frames"] = says(all(
        abs(a["x_m"] + (b["from_frame"] - a["from_frame"]) * a["spacing_mm"] / 1000.0 - b["x_m"]) < 1e-9
        for a, b in zip(stretches, stretches[1:])))
    return found


def check_work(settings, openings, again, positions):
    found, drawn, refitted = {}, 0, 0
    spells = [(moment(settings, p["dry"]), moment(settings, p["reflood_began"])) for p in positions]
    for opening in openings:
        works = openings_of(opening, again)
        if not works:
            continue
        plug = opening["kind"] == "docking-plug"
        drawn += plug * len(works)
        refitted += plug * sum(bool(w["closed_at"]) for w in works)
        times = [(moment(settings, w["opened_at"]), moment(settings, w["closed_at"])) for w in works]
        in_one_spell = all(any(dry <= o < c <= wet for dry, wet in spells) for o, c in times)
        found[f"openings.{opening['opening']}.order"] = says(in_one_spell)
        found[f"openings.{opening['opening']}.closed"] = says(all(w["tested_how"] for w in works), "not recorded")
    found["openings.plugs"] = says(drawn == refitted)
    return found


def check_records():
    """Nothing of the sample stands twice, is of another order of magnitude, or lies where it can't be: make.py puts no such
    mistake into it."""
    return {f"records.{what}": "agrees" for what in ("doubles", "places", "ranges")}


def check_positions(settings, positions, fits):
    found = {}
    tolerance = lambda name: limit(settings, "tolerances", name)
    order = ["flooding_began", "touched", "landed", "dry", "reflood_began", "afloat"]
    for position in positions:
        name = position["position"]
        place, residuals, _ = fits[name]
        for axis, key, column in ((0, "station", "recorded_srp_station_m"), (1, "offset", "recorded_offset_m")):
            found[f"positions.{name}.{key}"] = says(abs(place[axis] - float(position[column])) <= tolerance(key))
        found[f"positions.{name}.yaw"] = says(abs(numpy.degrees(place[2]) - float(position["yaw_deg"])) <= tolerance("yaw"))
        for mark, residual in residuals.items():
            found[f"positions.{name}.sighting.{mark}"] = says(size(residual) <= tolerance("sighting"))
        away = numpy.hypot(*(float(position["recorded_" + c]) - float(position["planned_" + c]) for c in ("srp_station_m", "offset_m")))
        found[f"positions.{name}.plan"] = says(away <= limit(settings, "limits", "position_from_plan"), "beyond limit")
        times = [moment(settings, position[t]) for t in order]
        found[f"positions.{name}.times"] = says(times == sorted(times))
    first, second = positions
    found["positions.order"] = says(moment(settings, first["reflood_began"]) <= moment(settings, second["flooding_began"]))
    recorded, fitted = shift(positions, fits)
    found["positions.P1-P2.shift"] = says(all(abs(a - b) <= tolerance("shift") for a, b in zip(recorded, fitted)))
    return found


def check_papers():
    listed = {row["file"] for row in rows("papers/papers.csv")}
    there = {p.name for p in (PROJECT / "papers").iterdir()} - {"papers.csv"}
    def last(name):  # the two kinds that the sample has, by their first bytes
        data = (PROJECT / "papers" / name).read_bytes()
        return data.startswith(b"\x89PNG\r\n\x1a\n") if name.endswith(".png") else name.endswith(".txt") and data.decode("utf-8") != ""

    captioned = all(row["caption"].strip() for row in rows("papers/papers.csv"))
    return {
        **{f"papers.{name}.file": says(name in there, "not recorded") for name in listed},
        **{f"papers.{name}.kind": says(last(name)) for name in there},
        **{f"papers.{row['file']}.shown": says(True) for row in rows("papers/papers.csv")
           if row["in_report"] == "yes" and row["file"] in there},
        "papers.captions": says(captioned, "not recorded"),
        "papers.unlisted": says(there <= listed),
    }


def shift(positions, fits):
    """From the first position to the second, forward and to port: recorded, and from the sightings."""
    first, second = positions
    recorded = [float(second[c]) - float(first[c]) for c in ("recorded_srp_station_m", "recorded_offset_m")]
    return recorded, (fits[second["position"]][0] - fits[first["position"]][0])[:2].tolist()


# What divers measured of the keel over the blocks

def keel_offset_m(row, block):
    """Offset in the dock of the keel's middle over a block: of the block, and as measured from its middle or its two edges."""
    if row["keel_offset_mm"]:
        return float(block["offset_m"]) + float(row["keel_offset_mm"]) / 1000.0
    return float(block["offset_m"]) + (float(row["starboard_edge_mm"]) - float(row["port_edge_mm"])) / 2000.0


def check_divers(settings, blocks, positions):
    by_name, rounds, found = {b["block"]: b for b in blocks}, {}, {}
    for row in rows("positions/divers.csv"):
        name = row["occasion"] + (f"-{row['round']}" if row["round"] not in ("", "1") else "")
        rounds.setdefault((row["position"], name), []).append(row)
    for (position, name), read in rounds.items():
        place = next(p for p in positions if p["position"] == position)
        stations = numpy.array([float(by_name[r["block"]]["station_m"]) for r in read])
        offsets = numpy.array([keel_offset_m(r, by_name[r["block"]]) for r in read])
        line = numpy.polyfit(stations, offsets, 1)
        off_line = abs(numpy.polyval(line, stations) - offsets).max()
        fits = off_line <= DIVERS_TOLERANCE_M
        found[f"positions.{position}.divers.{name}"] = says(fits) if len(read) > 2 else "not recorded"
        if name != "landed":
            continue
        station, offset, yaw = (float(place[c]) for c in ("recorded_srp_station_m", "recorded_offset_m", "yaw_deg"))
        lay = offset + (stations - station) * numpy.tan(radians(yaw))
        found[f"positions.{position}.divers.lay"] = says(abs(lay - offsets).max() <= DIVERS_TOLERANCE_M)
        # Athwart at the stern reference point; along the ship the sample's marks agree with the plan to some millimetres.
        athwart = numpy.polyval(line, float(place["planned_srp_station_m"])) - float(place["planned_offset_m"])
        kept = abs(athwart) <= limit(settings, "limits", "position_from_plan")
        found[f"positions.{position}.divers.plan"] = says(kept, "beyond limit") if fits else "not recorded"
    return found


# The plan: what it offers, and what its positions would hide

def check_offered(positions):
    """Whether each position is planned where the plan offers it, to the millimetre in which both are written."""
    offered, found = {row["plan_position"]: row for row in rows("plan/positions.csv")}, {}
    for place in positions:
        plan = offered[place["from_plan"]]
        apart = max(abs(float(place[f"planned_{c}"]) - float(plan[c])) for c in ("srp_station_m", "offset_m"))
        found[f"positions.{place['position']}.offered"] = says(apart < 0.001)
    return found


def as_planned(blocks, positions, openings, bottom):
    """Blocks where they were planned, the ship where she was to lie: what is hidden, and how clear openings are."""
    moved = {b["moved_from"] for b in blocks}
    planned = [{**b, "positions": ""} if b["block"] in moved else b for b in blocks if not b["moved_from"]]
    lies = [
        {"position": p["position"], "recorded_srp_station_m": p["planned_srp_station_m"], "recorded_offset_m": p["planned_offset_m"], "yaw_deg": "0"}
        for p in positions
    ]
    caps = {p["position"]: {b["block"]: hull_cap(b, p) for b in planned if stands_in(b, p["position"])} for p in lies}
    hidden = {name: both(union(at.values()), bottom) for name, at in caps.items()}
    _, never = classes(bottom, hidden)
    return {
        "hidden_m2": {name: shape.area for name, shape in hidden.items()},
        "never_exposed_m2": never.area,
        "openings": {
            opening["opening"]: {name: dict(zip(("clear_m", "block"), nearest(opening, at))) for name, at in caps.items()}
            for opening in openings
        },
    }


# The answer

def fitted_part(fits):
    return {
        name: {"srp_station_m": place[0], "offset_m": place[1], "yaw_deg": float(numpy.degrees(place[2])), "residuals": residuals, "set_aside": aside}
        for name, (place, residuals, aside) in fits.items()
    }


def openings_part(settings, openings, caps):
    """Nearest cap, clear distance and clearance wanted; and the finding's outcome."""
    out, found = {}, {}
    for opening in openings:
        name = opening["opening"]
        wanted = float(opening["clearance_wanted_mm"]) / 1000.0 if opening["clearance_wanted_mm"] else limit(settings, "limits", "opening_clearance")
        out[name] = {"wanted_m": wanted}
        for position, at in caps.items():
            clear, block = nearest(opening, at)
            out[name][position] = {"clear_m": clear, "block": block}
            found[f"openings.{name}.{position}.clearance"] = says(clear >= wanted, "beyond limit")
            if opening["kind"] == "docking-plug":
                found[f"openings.{name}.{position}.drain"] = says(clear > 0)
    return out, found


def rounded(value):
    """Nine decimals, so that the file does not change with the last bit of a library."""
    if isinstance(value, dict):
        return {key: rounded(entry) for key, entry in value.items()}
    if isinstance(value, list):
        return [rounded(entry) for entry in value]
    return round(float(value), 9) + 0.0 if isinstance(value, float) else value


def stop_on_surprise(found):
    expected = lambda i: "not recorded" if i in UNCHECKED else FAULTS.get(i, "agrees")
    surprises = {i: o for i, o in found.items() if o != expected(i)}
    missing = [i for i in FAULTS if i not in found]
    answered = {r["finding"] for r in tomllib.loads((PROJECT / "remarks.toml").read_text())["remark"]}
    elsewhere = ("landing.", "coating.", "film.", "climate.", "plating.", "anodes.")  # of expected_landing.py and expected_coating.py
    answered = {finding for finding in answered if not finding.startswith(elsewhere)}
    if surprises or missing or answered != set(FAULTS):
        raise SystemExit(f"not as intended: {surprises} {missing} {answered ^ set(FAULTS)}")


def main():
    settings = tomllib.loads((PROJECT / "docking.toml").read_text(encoding="utf-8"))
    blocks, positions = rows("plan/blocks.csv"), rows("positions/positions.csv")
    openings, again, marks = rows("plan/openings.csv"), rows("plan/opened.csv"), rows("positions/marks.csv")
    tolerance = limit(settings, "tolerances", "sighting")
    fits = {p["position"]: fit_without_slip([m for m in marks if m["position"] == p["position"]], tolerance) for p in positions}
    caps = {p["position"]: {b["block"]: hull_cap(b, p) for b in blocks if stands_in(b, p["position"])} for p in positions}
    bottom = outline("bottom")
    hidden = {name: both(union(at.values()), bottom) for name, at in caps.items()}
    areas, never = classes(bottom, hidden)
    clearances, found = openings_part(settings, openings, caps)
    found |= check_blocks(settings, blocks, positions) | check_register(settings, openings) | check_papers()
    found |= check_work(settings, openings, again, positions) | check_positions(settings, positions, fits)
    found |= check_divers(settings, blocks, positions) | check_offered(positions) | check_records()
    found["exposure.never_exposed"] = says(never.area <= limit(settings, "limits", "never_exposed"), "beyond limit")
    stop_on_surprise(found)
    recorded, fitted = shift(positions, fits)
    answer = {
        "bottom_m2": bottom.area, "flat_keel_m2": outline("flat-keel").area,
        "footprints_m2": {name: {block: both(cap, bottom).area for block, cap in at.items()} for name, at in caps.items()},
        "hidden_m2": {name: shape.area for name, shape in hidden.items()},
        "classes_m2": areas, "never_exposed": pieces(never, caps),
        "fitted": fitted_part(fits),
        "shift": {"recorded_forward_m": recorded[0], "recorded_to_port_m": recorded[1], "fitted_forward_m": fitted[0], "fitted_to_port_m": fitted[1]},
        "openings": clearances, "as_planned": as_planned(blocks, positions, openings, bottom), "outcomes": found,
    }
    text = json.dumps(rounded(answer), indent=1, sort_keys=True, ensure_ascii=True)
    (HERE / "expected.json").write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
