#!/usr/bin/env python3
"""An independent computation of what the coating, plating and anode records of sample-project/ must show, written to expected_coating.json.

    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install shapely numpy
    /tmp/venv/bin/python tests/sample/expected_coating.py

Reads only the files of the sample project, shares nothing with make.py, and stops if anything but the faults left in on
purpose fails to agree. Rules are those that format.txt states; where they leave a choice, the choice is said here:

- Footprints lie by the recorded position and yaw, and are cut to the bottom. Zones of the side are one piece of steel each.
- A sliver is what a strip of the width `feathering` would not fit into: a shape is opened (shrunk and grown again by half of it).
- Patches tie in to steel that was painted otherwise than as `patches`, within 20 mm of them; less than 50 mm is a corner.
- Preparation counts for a coat if its time is in the same dry spell and not after the coat began; its age runs from the last
  blasting row to the coat's start.
- Immersion is asked of coats that had not been under water before; a side is under water from the last reading of the
  water log under its lowest edge.
- Patches are what earlier positions hid, what lacks a coat of the scheme, and what no block of the time hides.
- An application is called by its zone, coat, extent and the position whose landing was the last before it; here no two are alike.
- Film: every reading counts, also where its place is in doubt, less the gauge's correction for profile of that day, or of its last
  check before, by whatever rule: SSPC-PA 2 calls it the base metal reading. Every zone and coat owes readings for the zone's size:
  the steps of ISO 19840 and one for 5 m2 of the 90/10 rule are from memory.
"""

import csv
import json
import tomllib
from collections import defaultdict
from datetime import datetime, timedelta, timezone
from itertools import combinations
from math import ceil, cos, exp, inf, log, radians, sin
from pathlib import Path
from re import fullmatch

import numpy
import shapely
from shapely import Point, Polygon, affinity, box

HERE = Path(__file__).resolve().parent
PROJECT = HERE.parents[1] / "sample-project"
GRID = 1e-9  # without it, nearly collinear edges can lose a whole overlap
NOTHING = 1e-7  # square metres
STRIP_M, LEAST_TIE_IN_M = 0.02, 0.05  # how near to a patch its surroundings are looked for, and what is only a corner

FAULTS = {
    "coating.zone.KL.complete": "beyond limit",
    "coating.BP.coat3.patches-P2.recoat.coat2.patches-P2": "beyond limit",
    "coating.BS.coat3.exposed-P1.climate.margin": "beyond limit",
    "coating.BS.coat4.exposed-P1.batch": "beyond limit",
    "climate.2031-04-19.dew_point": "differs",
    "film.SP.coat2": "beyond limit",
    "film.KL.coat2.place": "differs",
    "film.gauge.DF2.2031-04-16": "not recorded",
    "plating.F-S.loss": "beyond limit",
    "anodes.AN17.loss": "differs",
}


# Files

def rows(name):
    with open(PROJECT / name, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def table(name):
    with open(PROJECT / name, "rb") as file:
        return tomllib.load(file)


SETTINGS = table("docking.toml")
ZONE_TIME = timezone(timedelta(hours=int(SETTINGS["period"]["offset"][:3])))


def at(text):
    time = datetime.fromisoformat(text)
    return (time if time.tzinfo else time.replace(tzinfo=ZONE_TIME)).astimezone(ZONE_TIME)


def hours(earlier, later):
    return (later - earlier).total_seconds() / 3600.0


def bound(kind, name):
    entry = SETTINGS[kind][name]
    return entry["value"] * (0.001 if entry["unit"] == "mm" else 1.0)


FEATHERING = bound("limits", "feathering")


# Shapes

def surface(shape):
    """What of a shape has an area: shapes that only touch leave points and lines."""
    return shapely.MultiPolygon([p for p in shapely.get_parts(shape) if isinstance(p, Polygon) and not p.is_empty])


def union(shapes):
    return surface(shapely.union_all(list(shapes), grid_size=GRID))


def both(a, b):
    return surface(shapely.intersection(a, b, grid_size=GRID))


def without(a, b):
    return surface(shapely.difference(a, b, grid_size=GRID))


def more_than_slivers(shape):
    half = FEATHERING / 2.0
    opened = shape.buffer(-half, join_style="mitre").buffer(half, join_style="mitre")
    return both(opened, shape)


def polygon(vertices, order="order"):
    return Polygon([(float(v["x_m"]), float(v["y_m"])) for v in sorted(vertices, key=lambda v: int(v[order]))])


def turned(angle, x, y):
    return x * cos(angle) - y * sin(angle), x * sin(angle) + y * cos(angle)


def cap(block, position):
    half_l, half_w = float(block["length_mm"]) / 2000.0, float(block["width_mm"]) / 2000.0
    skew = radians(float(block["skew_deg"] or 0))
    corners = [turned(skew, x, y) for x, y in ((-half_l, -half_w), (half_l, -half_w), (half_l, half_w), (-half_l, half_w))]
    station, offset = (float(position[f"recorded_{c}_m"]) for c in ("srp_station", "offset"))
    shape = Polygon([(float(block["station_m"]) + x - station, float(block["offset_m"]) + y - offset) for x, y in corners])
    return affinity.rotate(shape, -float(position["yaw_deg"]), origin=(0, 0))


BOTTOM = polygon([r for r in rows("plan/bottom.csv") if r["part"] == "bottom"])


class Position:
    def __init__(self, row):
        self.name, self.touched, self.dry, self.reflood = row["position"], at(row["touched"]), at(row["dry"]), at(row["reflood_began"])
        standing = [b for b in rows("plan/blocks.csv") if not b["positions"] or row["position"] in b["positions"].split(";")]
        cut = {b["block"]: both(cap(b, row), BOTTOM) for b in standing}
        self.footprints = {name: shape for name, shape in cut.items() if shape.area > NOTHING}
        self.hidden = union(self.footprints.values())

    def holds(self, began, ended):
        return self.dry <= began and ended <= self.reflood


POSITIONS = sorted((Position(r) for r in rows("positions/positions.csv")), key=lambda p: p.dry)


def position_at(time, until=None):
    return next((p for p in POSITIONS if p.holds(time, until or time)), None)


# Zones, scheme, products, applications

class Zone:
    def __init__(self, name, vertices, lies_at):
        first = next(v for v in vertices if v["true_area_m2"])
        self.name, self.kind, self.true_m2 = name, vertices[0]["kind"], float(first["true_area_m2"])
        self.lowest_z = float(vertices[0]["lowest_z_m"]) if vertices[0]["lowest_z_m"] else None
        # A side is drawn as a strip of its own area far from the bottom.
        self.shape = polygon(vertices) if self.kind == "bottom" else box(1000.0 * lies_at, 0.0, 1000.0 * lies_at + self.true_m2, 1.0)
        self.scheme = {int(r["coat"]): r for r in rows("coating/scheme.csv") if r["zone"] == name}

    def true(self, shape):
        return shape.area * self.true_m2 / self.shape.area


def read_zones():
    by_name = defaultdict(list)
    for row in rows("coating/zones.csv"):
        by_name[row["zone"]].append(row)
    return {name: Zone(name, vertices, n) for n, (name, vertices) in enumerate(by_name.items(), start=1)}


ZONES = read_zones()
BOTTOM_ZONES = [z for z in ZONES.values() if z.kind == "bottom"]
AREAS = {name: polygon([r for r in rows("coating/areas.csv") if r["area"] == name]) for name in {r["area"] for r in rows("coating/areas.csv")}}
CATALOGUE = table("coating/products.toml")
PRODUCTS = {p["product"]: p for p in CATALOGUE["product"]}
BATCHES = {b["batch"]: b for b in CATALOGUE["batch"]}


class Application:
    def __init__(self, row, name):
        self.name, self.row, self.zone, self.extent, self.coat = name, row, ZONES[row["zone"]], row["extent"] or "exposed", int(row["coat"])
        self.began, self.ended, self.product = at(row["began"]), at(row["ended"]), row["product"]
        self.position = position_at(self.began, self.ended)
        self.claim = self.received = None

    @property
    def short_name(self):
        return self.name.split(".", 1)[1]


def read_applications():
    out = []
    for row in rows("coating/coats.csv"):
        stood = max((p for p in POSITIONS if p.touched <= at(row["began"])), key=lambda p: p.touched)
        out.append(Application(row, f"{row['zone']}.coat{row['coat']}.{row['extent']}-{stood.name}"))
    assert len({a.name for a in out}) == len(out)
    return sorted(out, key=lambda a: (a.began, a.ended))  # sorted keeps the file's order where times are alike


def complete(zone, before, applications):
    """Steel of the zone with every coat of its scheme by then."""
    shape = zone.shape
    for number in zone.scheme:
        shape = both(shape, union(a.received for a in applications if a.zone is zone and a.coat == number and a.ended <= before))
    return shape


def claimed(zone, extent, time, applications):
    position = position_at(time)
    if extent == "all":
        return zone.shape
    if extent == "exposed":
        return without(zone.shape, position.hidden) if position else zone.shape
    if extent == "patches":
        earlier = union(p.hidden for p in POSITIONS if p.reflood < time)
        left = without(both(zone.shape, earlier), complete(zone, time, applications))
        return without(left, position.hidden) if position else left
    return AREAS[extent]


def lay(applications):
    """What each claimed, and what of it was free and dry, in the order of time."""
    done = []
    for a in applications:
        a.claim = claimed(a.zone, a.extent, a.began, done)
        inside = both(a.claim, a.zone.shape)
        a.received = without(inside, a.position.hidden) if a.position else Polygon()
        done.append(a)


# Outcomes

OUTCOMES = {}


def say(finding, failing=None):
    """One outcome per finding; the first failing one stands."""
    if OUTCOMES.get(finding, "agrees") == "agrees":
        OUTCOMES[finding] = failing or "agrees"


def rounded(value):
    if isinstance(value, dict):
        return {key: rounded(v) for key, v in value.items()}
    if isinstance(value, (list, tuple)):
        return [rounded(v) for v in value]
    if isinstance(value, (float, numpy.floating)):
        return None if value == inf else round(float(value), 9)
    return value


# Geometry of the coats

def check_zones():
    covered = union(z.shape for z in BOTTOM_ZONES)
    bare = without(BOTTOM, covered).area
    twice = sum(both(a.shape, b.shape).area for a, b in combinations(BOTTOM_ZONES, 2))
    outside = without(covered, BOTTOM).area
    say("coating.zones.cover", "not recorded" if bare > NOTHING else "differs" if max(twice, outside) > NOTHING else None)
    out = {}
    for zone in ZONES.values():
        plan = zone.shape.area if zone.kind == "bottom" else None
        short = plan is not None and zone.true_m2 < plan * (1.0 - bound("tolerances", "zone_area") / 100.0)
        if plan is not None:
            say(f"coating.zone.{zone.name}.area", "differs" if short else None)
        say(f"coating.zone.{zone.name}.scheme", None if list(zone.scheme) == list(range(1, len(zone.scheme) + 1)) else "differs")
        out[zone.name] = {"kind": zone.kind, "plan_m2": plan, "true_m2": zone.true_m2}
    return {"bottom_m2": BOTTOM.area, "uncovered_m2": bare, "in_two_m2": twice, "zones": out}


def cells(zone, applications):
    """The zone cut up by the footprints of each position and by what each application reached: (positions, names, shape)."""
    parts = [((), (), zone.shape)]
    for p in POSITIONS:
        parts = [
            (hidden + ((p.name,) if inside else ()), names, shape)
            for hidden, names, whole in parts
            for inside, shape in ((True, both(whole, p.hidden)), (False, without(whole, p.hidden))) if shape.area > NOTHING
        ]
    for a in (a for a in applications if a.zone is zone):
        parts = [
            (hidden, names + ((a,) if inside else ()), shape)
            for hidden, names, whole in parts
            for inside, shape in ((True, both(whole, a.received)), (False, without(whole, a.received))) if shape.area > NOTHING
        ]
    return parts


def chains(zone, parts):
    merged = defaultdict(float)
    for hidden, names, shape in parts:
        merged[hidden, tuple(a.name for a in names)] += shape.area
    return [
        {"hidden_in": list(hidden), "area_m2": area, "true_area_m2": area * zone.true_m2 / zone.shape.area, "coats": list(names)}
        for (hidden, names), area in sorted(merged.items())
    ]


def completeness(zone, parts):
    full, less, none, short = 0.0, defaultdict(float), 0.0, []
    for _, names, shape in parts:
        missing = [n for n in zone.scheme if n not in {a.coat for a in names}]
        if not missing:
            full += shape.area
            continue
        short.append(shape)
        if len(missing) == len(zone.scheme):
            none += shape.area
        else:
            less[tuple(missing)] += shape.area
    lacking = union(short) if short else Polygon()
    beyond = more_than_slivers(lacking).area
    say(f"coating.zone.{zone.name}.complete", "beyond limit" if beyond > NOTHING else None)
    pieces = [p for p in shapely.get_parts(lacking) if isinstance(p, Polygon) and p.area > NOTHING]
    return {
        "full_m2": full, "less_m2": [{"missing": list(m), "area_m2": area} for m, area in sorted(less.items())], "none_m2": none,
        "short_beyond_slivers_m2": beyond,
        "pieces": [dict(zip(("x_from_m", "y_from_m", "x_to_m", "y_to_m"), p.bounds), area_m2=p.area) for p in sorted(pieces, key=lambda p: p.bounds)],
    }


def check_claim(a):
    inside = both(a.claim, a.zone.shape)
    contradicted = without(a.claim, a.received)
    grave = more_than_slivers(contradicted).area
    blocks = [] if a.position is None else sorted(
        name for name, shape in a.position.footprints.items() if more_than_slivers(both(inside, shape)).area > NOTHING
    )
    nothing_hidden = a.extent == "patches" and a.claim.area <= NOTHING
    outside = more_than_slivers(without(a.claim, inside)).area > NOTHING
    failing = grave > NOTHING or outside or nothing_hidden or a.position is None
    say(f"coating.{a.name}.claim", "differs" if failing else None)
    return {
        "claimed_m2": a.claim.area, "contradicted_m2": contradicted.area, "contradicted_beyond_slivers_m2": grave, "blocks": blocks,
        "received_m2": a.received.area,
    }


def check_order(a, applications):
    if a.coat == 1:
        return None
    before = union(b.received for b in applications if b.zone is a.zone and b.coat == a.coat - 1 and b.ended <= a.began)
    astray = more_than_slivers(without(a.received, before)).area
    say(f"coating.{a.name}.order", "differs" if astray > NOTHING else None)
    return astray


# Products and batches

def check_product(a):
    specified = a.zone.scheme[a.coat]["product"]
    say(f"coating.{a.name}.product", None if a.product == specified else "differs")
    batch = BATCHES.get(a.row["batch"])
    if batch is None:
        say(f"coating.{a.name}.batch", "not recorded")
        return None
    days = (a.ended.date() - batch["made"]).days
    life = PRODUCTS[a.product]["shelf_life_d"]
    say(f"coating.{a.name}.batch", "differs" if batch["product"] != a.product else "beyond limit" if days > life else None)
    return {"batch": batch["batch"], "age_d": days, "shelf_life_d": life}


def check_times(a):
    say(f"coating.{a.name}.times", "differs" if a.ended < a.began else None)


def check_paint(a):
    product, specified = PRODUCTS[a.product], a.zone.scheme[a.coat]
    nominal, solids = float(specified["nominal_dft_um"]), product["volume_solids_pct"]
    true_m2 = a.zone.true(a.received)
    expected = true_m2 * nominal / (10.0 * solids)
    ratio = 100.0 * float(a.row["used_l"]) / expected
    least, greatest = bound("limits", "paint_least"), bound("limits", "paint_greatest")
    say(f"coating.{a.name}.paint", None if least <= ratio <= greatest else "beyond limit")
    from_wet = float(a.row["wet_film_um"]) * solids / 100.0
    off = 100.0 * abs(from_wet - nominal) / nominal
    say(f"coating.{a.name}.wet_film", "differs" if off > bound("tolerances", "wet_film") else None)
    return {
        "true_area_m2": true_m2, "expected_l": expected, "used_l": float(a.row["used_l"]), "used_over_expected_pct": ratio,
        "dry_from_wet_um": from_wet, "nominal_um": nominal,
    }


# Climate

def pressure(temperature):
    return 17.62 * temperature / (243.12 + temperature)


def dew_point(air, humidity):
    g = log(humidity / 100.0) + pressure(air)
    return 243.12 * g / (17.62 - g)


class Reading:
    def __init__(self, row):
        self.at, self.zone = at(row["at"]), row["zone"]
        self.air, self.humidity, self.steel = (float(row[c]) for c in ("air_temperature_c", "humidity_pct", "steel_temperature_c"))
        self.recorded = float(row["dew_point_c"]) if row["dew_point_c"] else None
        self.dew = dew_point(self.air, self.humidity)
        self.margin = self.steel - self.dew
        # The form itself, turned round, must give the humidity back.
        assert abs(100.0 * exp(pressure(self.dew) - pressure(self.air)) - self.humidity) < 1e-9


CLIMATE = sorted((Reading(r) for r in rows("coating/climate.csv")), key=lambda r: r.at)


def serving(zone):
    return [r for r in CLIMATE if r.zone in ("", zone.name)]


def check_climate(a):
    readings = serving(a.zone)
    during = [r for r in readings if a.began <= r.at <= a.ended]
    before = [r for r in readings if r.at < a.began][-1:]
    after = [r for r in readings if r.at > a.ended][:1]
    counted = before + during + after
    moments = [a.began, a.ended] + [b.at + (c.at - b.at) / 2 for b, c in zip(counted, counted[1:])]
    age = max(min(abs(hours(r.at, m)) for r in counted) for m in moments if a.began <= m <= a.ended)
    worst = min(counted, key=lambda r: r.margin)
    humidity = max(r.humidity for r in counted)
    say(f"coating.{a.name}.climate.margin", "beyond limit" if worst.margin < bound("limits", "dew_point_margin") else None)
    say(f"coating.{a.name}.climate.humidity", "beyond limit" if humidity > bound("limits", "humidity") else None)
    say(f"coating.{a.name}.climate.age", "beyond limit" if age > bound("limits", "climate_age") else None)
    return {
        "worst_margin_k": worst.margin, "worst_margin_at": worst.at.isoformat(), "highest_humidity_pct": humidity, "greatest_age_h": age,
        "worst_margin_during_k": min((r.margin for r in during), default=None), "readings_during": len(during), "readings_counted": len(counted),
    }


def check_dew_points():
    by_day = defaultdict(list)
    for r in CLIMATE:
        if r.recorded is not None:
            by_day[r.at.date().isoformat()].append(r)
    out = {}
    for day, readings in sorted(by_day.items()):
        worst = max(readings, key=lambda r: abs(r.recorded - r.dew))
        wrong = abs(worst.recorded - worst.dew) > bound("tolerances", "dew_point")
        say(f"climate.{day}.dew_point", "differs" if wrong else None)
        out[day] = {
            "readings": len(readings), "at": worst.at.isoformat(), "recorded_c": worst.recorded, "recomputed_c": worst.dew,
            "difference_k": worst.recorded - worst.dew,
        }
    return out


# Recoat windows

def recoat_rows(product, over):
    own = [r for r in CATALOGUE["recoat"] if r["product"] == product]
    by = [r for r in own if r.get("by") == over]
    return sorted(by or [r for r in own if "by" not in r], key=lambda r: r["steel_temperature_c"])


def in_hours(row, name):
    value, unit = next((row[f"{name}_{u}"], u) for u in "hd" if f"{name}_{u}" in row)
    return inf if value == "none" else float(value) * (24.0 if unit == "d" else 1.0)


def window(earlier, later):
    """Steel's coldest and warmest over the interval, and the strict window; None where the table does not reach."""
    steel = [r.steel for r in serving(earlier.zone) if earlier.began <= r.at <= later.ended]
    coldest, warmest = min(steel), max(steel)
    listed = recoat_rows(earlier.product, later.product)
    below = [r["steel_temperature_c"] for r in listed if r["steel_temperature_c"] <= coldest]
    above = [r["steel_temperature_c"] for r in listed if r["steel_temperature_c"] >= warmest]
    if not below or not above:
        return coldest, warmest, None, None
    spanned = [r for r in listed if max(below) <= r["steel_temperature_c"] <= min(above)]
    return coldest, warmest, max(in_hours(r, "least") for r in spanned), min(in_hours(r, "greatest") for r in spanned)


def floodings(earlier, later):
    return [p.name for p in POSITIONS if earlier.began < p.reflood < later.ended]


def washed_since(flood_name, steel, zone, later, applications):
    """A wash or abrasion of that steel, recorded between the flooding's end and the later coat."""
    flood = next(p.reflood for p in POSITIONS if p.name == flood_name)
    for row in rows("coating/preparation.csv"):
        time = at(row["at"])
        if row["zone"] == zone.name and row["treatment"] in ("wash", "abrade", "sweep", "blast") and flood < time <= later.began and position_at(time):
            extent = claimed(zone, row["extent"] or "exposed", time, applications)
            if without(steel, extent).area <= NOTHING:
                return True
    return False


def held(least, greatest, least_window, greatest_window):
    if least_window is None:
        return "not recorded"
    return "beyond limit" if least < least_window or greatest > greatest_window else None


def interval(earlier, later, steel, zone, applications, finding):
    least, greatest = hours(earlier.ended, later.began), hours(earlier.began, later.ended)
    entry = {"earlier": earlier.name, "later": later.name, "least_interval_h": least, "greatest_interval_h": greatest}
    across = floodings(earlier, later)
    if across:
        washed = washed_since(across[-1], steel, zone, later, applications)
        say(finding, None if washed else "not recorded")
        return entry | {"across_flooding": across, "washed": washed}
    coldest, warmest, least_window, greatest_window = window(earlier, later)
    say(finding, held(least, greatest, least_window, greatest_window))
    return entry | {
        "coldest_c": coldest, "warmest_c": warmest, "window_least_h": least_window,
        "window_greatest_h": "none" if greatest_window == inf else greatest_window,
        "table_by": later.product if any(r.get("by") for r in recoat_rows(earlier.product, later.product)) else None,
    }


def recoats(applications, parts):
    """Successive coats on the same steel."""
    steel = defaultdict(list)
    for _, names, shape in parts:
        for earlier, later in zip(names, names[1:]):
            steel[earlier.name, later.name].append((earlier, later, shape))
    out = []
    for (_, later_name), found in sorted(steel.items(), key=lambda item: (item[1][0][1].began, item[0])):
        earlier, later, shape = found[0][0], found[0][1], union(s for _, _, s in found)
        if more_than_slivers(shape).area <= NOTHING:
            continue
        finding = f"coating.{later_name}.recoat.{earlier.short_name}"
        out.append({"finding": finding, "area_m2": shape.area, **interval(earlier, later, shape, later.zone, applications, finding)})
    return out


def tie_ins(applications, all_parts):
    """Patches against the last coat of what surrounds them, whether it touches them or lies within a strip of 20 mm."""
    out = []
    for a in (a for a in applications if a.extent == "patches"):
        strip = without(a.received.buffer(STRIP_M, join_style="mitre"), a.received)
        surrounding = defaultdict(list)
        for zone in BOTTOM_ZONES:
            for _, names, shape in all_parts[zone.name]:
                before = [b for b in names if b.ended <= a.began and b.extent != "patches"]
                if before:
                    surrounding[before[-1]].append(shape)
        if a.position is None:
            continue
        for around, shapes in sorted(surrounding.items(), key=lambda item: item[0].name):
            whole = union(shapes)
            touching = shapely.intersection(a.received.boundary, whole.buffer(1e-6)).length
            near = both(whole, strip)
            if near.area / STRIP_M < LEAST_TIE_IN_M:
                continue
            finding = f"coating.{a.name}.border.{around.name}"
            entry = interval(around, a, without(near, a.position.hidden), around.zone, applications, finding)
            out.append({"finding": finding, "touching_m": touching, "within_strip_m": near.area / STRIP_M, **entry})
    return out


def lowest_keel_block():
    return min(float(b["top_level_m"]) for b in rows("plan/blocks.csv") if b["row"] == "keel")


def water_at(zone, position):
    """When the water came back to a zone: to the bottom with the flooding, to a side not before the last reading under its edge."""
    if zone.kind == "bottom":
        return position.reflood
    edge = lowest_keel_block() + zone.lowest_z
    rising = sorted((at(r["at"]), float(r["level_m"])) for r in rows("landing/water.csv") if at(r["at"]) >= position.reflood)
    reached = next((n for n, (_, level) in enumerate(rising) if level >= edge), len(rising))
    return rising[reached - 1][0] if reached else position.reflood


def immersions(all_parts):
    last = defaultdict(float)
    for p in POSITIONS:
        for parts in all_parts.values():
            for _, names, shape in parts:
                before = [a for a in names if a.ended <= p.reflood]
                if before and before[-1].ended >= p.dry:
                    last[before[-1], p] += shape.area
    out = []
    for (a, p), area in sorted(last.items(), key=lambda item: (item[0][1].reflood, item[0][0].name)):
        waited, least = hours(a.ended, water_at(a.zone, p)), in_hours(PRODUCTS[a.product], "least_to_immersion")
        say(f"coating.{a.name}.immersion.{p.name}", "beyond limit" if waited < least else None)
        latest = PRODUCTS[a.product].get("latest_immersion_d")
        if latest is not None:
            say(f"coating.{a.name}.latest_immersion.{p.name}", "beyond limit" if waited > 24 * latest else None)
        out.append({"finding": f"coating.{a.name}.immersion.{p.name}", "area_m2": area, "waited_h": waited, "least_h": least})
    return out


# Preparation

FAMILIES = (("Sa1", "Sa2", "Sa2.5", "Sa3"), ("St2", "St3"), ("Wa1", "Wa2", "Wa2.5"))


def as_good(grade, wanted):
    return any(grade in family and wanted in family and family.index(grade) >= family.index(wanted) for family in FAMILIES)


def numbers(found, column):
    return [float(r[column]) for r in found if r[column]]


def check_preparation(a, applications):
    wanted = a.zone.scheme[a.coat]
    if not wanted["grade"]:
        return None
    found = [
        r for r in rows("coating/preparation.csv")
        if r["zone"] == a.zone.name and position_at(at(r["at"])) is a.position and at(r["at"]) <= a.began
    ]
    blasted = [r for r in found if r["treatment"] == "blast"]
    reach = union(claimed(a.zone, r["extent"], at(r["at"]), applications) for r in blasted)
    bare = more_than_slivers(without(a.received, reach)).area
    name = f"coating.{a.name}.preparation"
    say(f"{name}.covered", "not recorded" if bare > NOTHING else None)
    grades = sorted({r["grade"] for r in found if r["grade"]})
    say(f"{name}.grade", None if grades and all(as_good(g, wanted["grade"]) for g in grades) else "beyond limit")
    profiles, salts, dust = (numbers(found, c) for c in ("profile_um", "salts_mg_m2", "dust"))
    inside = float(wanted["least_profile_um"]) <= min(profiles) and max(profiles) <= float(wanted["greatest_profile_um"])
    say(f"{name}.profile", None if inside else "beyond limit")
    say(f"{name}.salts", "beyond limit" if max(salts) > float(wanted["greatest_salts_mg_m2"]) else None)
    say(f"{name}.dust", "beyond limit" if max(dust) > float(wanted["greatest_dust"]) else None)
    last, first = max(at(r["at"]) for r in blasted), min(at(r["at"]) for r in blasted)
    # Even from the first row to the coat's finish the limit must hold, so that no choice of rows changes the outcome.
    assert hours(first, a.ended) <= bound("limits", "preparation_age"), a.name
    say(f"{name}.age", "beyond limit" if hours(last, a.began) > bound("limits", "preparation_age") else None)
    return {
        "rows": len(found), "readings": len(profiles), "grades": grades, "least_profile_um": min(profiles), "greatest_profile_um": max(profiles),
        "greatest_salts_mg_m2": max(salts), "greatest_dust": max(dust), "age_h": hours(last, a.began), "age_from_first_to_end_h": hours(first, a.ended),
    }


# Places of readings

def in_zone(zone, x, y):
    return zone.kind == "side" or zone.shape.buffer(1e-9).contains(Point(x, y))


def misplaced(row):
    """Why the place of a reading can't be right; None if it can."""
    time, x, y = at(row["at"]), float(row["x_m"]), float(row["y_m"])
    zone, position = ZONES[row["zone"]], position_at(time)
    if position is None:
        return "in the wet"
    if not in_zone(zone, x, y):
        return "outside the zone"
    under = [name for name, shape in position.footprints.items() if shape.contains(Point(x, y))]
    return under[0] if under else None


def check_preparation_places():
    for row in rows("coating/preparation.csv"):
        if row["x_m"]:
            say(f"preparation.{row['zone']}.place", "differs" if misplaced(row) else None)


def check_film_places(readings, applications):
    out = defaultdict(list)
    for row in readings:
        name, why = f"film.{row['zone']}.coat{row['after_coat']}", misplaced(row)
        say(f"{name}.place", "differs" if why else None)
        if why:
            out[f"{name}.place"].append({"spot": row["spot"], "x_m": float(row["x_m"]), "y_m": float(row["y_m"]), "why": why})
            continue
        zone, place = ZONES[row["zone"]], Point(float(row["x_m"]), float(row["y_m"]))
        on = [
            a for a in applications
            if a.zone is zone and a.coat == int(row["after_coat"]) and a.ended <= at(row["at"]) and (zone.kind == "side" or a.received.contains(place))
        ]
        say(f"{name}.time", None if on else "differs")
    return dict(out)


# Film thickness

def corrections():
    """(gauge, day) and gauge: the correction for profile, by day and the checks in order."""
    out = defaultdict(list)
    for row in rows("coating/gauges.csv"):
        out[row["gauge"]].append((at(row["at"]), float(row["profile_correction_um"])))
    return {gauge: sorted(found) for gauge, found in out.items()}


def check_gauges(readings):
    days = {(r["gauge"], at(r["at"]).date().isoformat()) for r in readings}
    checked = defaultdict(list)
    for row in rows("coating/gauges.csv"):
        off = 100.0 * (float(row["reading_um"]) - float(row["reference_um"])) / float(row["reference_um"])
        checked[row["gauge"], at(row["at"]).date().isoformat()].append(off)
    out = {}
    for gauge, day in sorted(days | set(checked)):
        found = checked.get((gauge, day))
        wrong = found and max(map(abs, found)) > bound("tolerances", "gauge")
        say(f"film.gauge.{gauge}.{day}", "not recorded" if not found else "differs" if wrong else None)
        out[f"{gauge}.{day}"] = {"checks": len(found or []), "worst_pct": max(found, key=abs) if found else None, "readings": sum(
            1 for r in readings if (r["gauge"], at(r["at"]).date().isoformat()) == (gauge, day)
        )}
    return out


def rule_for(zone):
    own = [z for z in SETTINGS["film_for_zone"] if z["zone"] == zone.name]
    return own[0] if own else SETTINGS["film"]


def totals(zone, coat, column):
    return sum(float(zone.scheme[n][column]) for n in range(1, coat + 1))


def by_iso_19840(zone, coat, corrected):
    nominal, greatest = totals(zone, coat, "nominal_dft_um"), totals(zone, coat, "greatest_dft_um")
    under80 = int((corrected < 0.8 * nominal).sum())
    between = int(((corrected >= 0.8 * nominal) & (corrected < nominal)).sum())
    over = int((corrected > greatest).sum())
    share = 100.0 * between / len(corrected)
    accepted = corrected.mean() >= nominal and not under80 and share < 20.0 and not over
    return accepted, {"nominal_um": nominal, "greatest_um": greatest, "under_80_pct": under80, "between_pct": share, "over_greatest": over}


def areas_owed(size_m2):
    """10 m2 areas: one for each up to 30 m2, three up to 100 m2, and one more for each further 100 m2 or part."""
    return ceil(size_m2 / 10.0) if size_m2 <= 30.0 else 3 + max(0, ceil((size_m2 - 100.0) / 100.0))


SPOT_BOUNDS_PCT = {1: (100, 100), 2: (100, 120), 3: (80, 120), 4: (80, 150), 5: (80, inf)}


def readings_owed(rule, size_m2):
    """ISO 19840: 5 up to 1 m2, 10 up to 3, 15 up to 10, 20 up to 30, 30 up to 100, and 10 for each 100 m2 begun beyond; 90/10: one for 5 m2."""
    if rule == "90-10":
        return ceil(size_m2 / 5.0)
    steps = ((1, 5), (3, 10), (10, 15), (30, 20), (100, 30))
    return next((owed for most, owed in steps if size_m2 <= most), 30 + 10 * ceil((size_m2 - 100.0) / 100.0))


def by_sspc_pa_2(zone, coat, readings, corrected, level):
    spots = defaultdict(list)
    for r, um in zip(readings, corrected):
        spots[r["spot"]].append(um)
    assert all(len(found) >= 3 for found in spots.values())
    means = [numpy.mean(found) for found in spots.values()]
    measured = [numpy.mean(means[n:n + 5]) for n in range(0, len(means) - 4, 5)]
    least, greatest = totals(zone, coat, "least_dft_um"), totals(zone, coat, "greatest_dft_um")
    low, high = SPOT_BOUNDS_PCT[level]
    spots_good = all(least * low / 100.0 <= m <= greatest * high / 100.0 for m in means)
    areas_good = all(least <= m <= greatest for m in measured)
    owed = areas_owed(zone.true_m2)
    assert areas_owed(zone.shape.area) == owed
    say(f"film.{zone.name}.coat{coat}.owed", None if len(measured) >= owed else "beyond limit")
    return spots_good and areas_good, {
        "least_um": least, "greatest_um": greatest, "spots": len(means), "areas": len(measured), "areas_owed": owed,
        "least_spot_um": min(means), "greatest_spot_um": max(means), "least_area_um": min(measured), "greatest_area_um": max(measured),
    }


def by_90_10(zone, coat, corrected):
    nominal = totals(zone, coat, "nominal_dft_um")
    enough = 100.0 * int((corrected >= nominal).sum()) / len(corrected)
    under90 = int((corrected < 0.9 * nominal).sum())
    return enough >= 90.0 and not under90, {"nominal_um": nominal, "at_or_over_nominal_pct": enough, "under_90_pct": under90}


def check_film(readings):
    known, groups = corrections(), defaultdict(list)
    for r in readings:
        groups[r["zone"], int(r["after_coat"])].append(r)
    out = {}
    for (name, coat), found in sorted(groups.items()):
        zone, rule = ZONES[name], rule_for(ZONES[name])
        raw = numpy.array([float(r["reading_um"]) for r in found])
        day_or_before = [[c for t, c in known[r["gauge"]] if t <= at(r["at"])][-1] for r in found]
        corrected = raw - numpy.array(day_or_before)
        if rule["rule"] == "iso-19840":
            accepted, detail = by_iso_19840(zone, coat, corrected)
        elif rule["rule"] == "sspc-pa-2":
            accepted, detail = by_sspc_pa_2(zone, coat, found, corrected, rule["restriction_level"])
        else:
            accepted, detail = by_90_10(zone, coat, corrected)
        if rule["rule"] != "sspc-pa-2":
            owed = readings_owed(rule["rule"], zone.true_m2)
            say(f"film.{name}.coat{coat}.owed", None if len(raw) >= owed else "beyond limit")
            detail["readings_owed"] = owed
        say(f"film.{name}.coat{coat}", None if accepted else "beyond limit")
        out[f"{name}.coat{coat}"] = {
            "rule": rule["rule"], "accepted": bool(accepted), "count": len(raw), "mean_um": corrected.mean(), "deviation_um": corrected.std(ddof=1),
            "least_um": corrected.min(), "most_um": corrected.max(), "mean_as_read_um": raw.mean(), "by_rule": detail,
        }
    return out


# Plating and anodes

def allowed_loss(row):
    original = float(row["original_mm"])
    if row["loss_limit_mm"]:
        return float(row["loss_limit_mm"])
    if row["relative_loss_limit_pct"]:
        return original * float(row["relative_loss_limit_pct"]) / 100.0
    return original - float(row["least_thickness_mm"]) if row["least_thickness_mm"] else None


def check_plating():
    strakes, out = defaultdict(list), {}
    for row in rows("hull/plating.csv"):
        strakes[row["strake"]].append(row)
    for strake, plates in sorted(strakes.items()):
        loss = {r["plate"]: float(r["original_mm"]) - float(r["measured_mm"]) for r in plates}
        part = {r["plate"]: loss[r["plate"]] / allowed_loss(r) for r in plates}
        worst, fullest = max(loss, key=loss.get), max(part, key=part.get)
        beyond = any(p > 1.0 + 1e-9 for p in part.values())
        say(f"plating.{strake}.loss", "beyond limit" if beyond else None)
        over = any(-v > 1000.0 * bound("tolerances", "plate_thickness") + 1e-9 for v in loss.values())
        say(f"plating.{strake}.original", "differs" if over else None)
        row = next(r for r in plates if r["plate"] == worst)
        out[strake] = {
            "plates": len(plates), "mean_loss_mm": numpy.mean(list(loss.values())), "worst_plate": worst, "worst_loss_mm": loss[worst],
            "worst_loss_pct": 100.0 * loss[worst] / float(row["original_mm"]), "nearest_limit_plate": fullest, "part_of_limit": part[fullest],
            "beyond": sorted(p for p in part if part[p] > 1.0 + 1e-9),
        }
    return out


def check_hull_work(applications):
    """Pits shallower than their plates, the instrument within 0.2 mm on its wedge, and repairs touched up after they were made."""
    for row in rows("hull/plating.csv"):
        if row["pit_depth_mm"]:
            say(f"plating.{row['strake']}.pits", None if float(row["pit_depth_mm"]) < float(row["measured_mm"]) else "differs")
    checks = rows("hull/instruments.csv")
    for instrument, day in sorted({(r["instrument"], r["at"][:10]) for r in rows("hull/plating.csv")}):
        off = [abs(float(c["reading_mm"]) - float(c["reference_mm"])) for c in checks if (c["instrument"], c["at"][:10]) == (instrument, day)]
        say(f"plating.instrument.{instrument}.{day}", "not recorded" if not off else None if max(off) < 0.2001 else "differs")
    for r in rows("hull/repairs.csv"):
        name = f"plating.repair.{r['repair']}"
        behind = [a for a in applications if a.zone.name == r["zone"] and a.ended <= at(r["began"])]
        again = r["touched_up"] and at(r["touched_up"]) >= at(r["ended"])
        say(f"{name}.times", None if at(r["began"]) <= at(r["ended"]) else "differs")
        say(f"{name}.coating", None if again or not behind else "not recorded")


def check_anodes():
    out = {}
    for row in rows("hull/anodes.csv"):
        fitted, found = float(row["mass_fitted_kg"]), float(row["mass_found_kg"])
        loss = 100.0 * (fitted - found) / fitted
        say(f"anodes.{row['anode']}.loss", "differs" if found > fitted else "beyond limit" if loss > bound("limits", "anode_loss") else None)
        out[row["anode"]] = {"loss_pct": loss, "fitted_kg": fitted, "found_kg": found}
    return out


# Chronology

def check_period():
    first, last = SETTINGS["period"]["began"], SETTINGS["period"]["ended"]
    dated = []
    for path in sorted(PROJECT.rglob("*.csv")):
        name = path.relative_to(PROJECT).as_posix()
        if name == "papers/papers.csv":  # papers may be older or younger
            continue
        for row in rows(name):
            cells = (cell for column, cell in row.items() if not column.startswith(("note", "planned")))
            dated += [(name, cell) for cell in cells if fullmatch(r"\d{4}-\d\d-\d\dT[\d:.]+([+-]\d\d:\d\d|Z)?", cell)]
    outside = [entry for entry in dated if not first <= at(entry[1]).date() <= last]
    say("chronology.period", "differs" if outside else None)
    return {"dated_records": len(dated), "outside": outside}


def check_spells():
    """Sightings, landing checks and gaps of a position lie between touched and afloat; checks of the blocks may come before."""
    of_the_blocks = ("wedge", "declivity", "other")
    for position in rows("positions/positions.csv"):
        touched, afloat = at(position["touched"]), at(position["afloat"])
        wrong = [
            (name, row) for name in ("positions/marks.csv", "landing/checks.csv", "landing/gaps.csv") for row in rows(name)
            if row["position"] == position["position"] and row["at"]
            and (at(row["at"]) > afloat or at(row["at"]) < touched and row.get("check") not in of_the_blocks)
        ]
        say(f"chronology.{position['position']}", "differs" if wrong else None)


def told_apart(base, time, others):
    """An id, with its time where others have the same."""
    return base if sum(other == base for other in others) == 1 else f"{base}.{time:%Y-%m-%dT%H%M}"


def check_stripes():
    """Each lies in one dry spell, after the coat below began and before its own was finished; every scheme that asks for one has one."""
    stripes = rows("coating/stripes.csv")
    log = rows("coating/coats.csv")
    bases = [f"{s['zone']}.coat{s['before_coat']}" for s in stripes]
    for s, base in zip(stripes, bases):
        began, ended, coat = at(s["began"]), at(s["ended"]), int(s["before_coat"])
        below = [at(c["began"]) for c in log if c["zone"] == s["zone"] and int(c["coat"]) == coat - 1]
        over = [at(c["ended"]) for c in log if c["zone"] == s["zone"] and int(c["coat"]) == coat]
        dry = position_at(began) is not None and position_at(began) is position_at(ended)
        fits = began <= ended and dry and min(below) < ended and began < max(over)
        say(f"coating.stripe.{told_apart(base, began, bases)}", None if fits else "differs")
    for row in rows("coating/scheme.csv"):
        if row["stripe"] == "yes":
            there = f"{row['zone']}.coat{row['coat']}" in bases
            say(f"coating.zone.{row['zone']}.stripe{row['coat']}", None if there else "not recorded")


def check_product_limits(applications):
    """What a product's own limits say of each application: steel and air while it went on, mixing, thinner, the latest water."""
    log = {(c["zone"], c["extent"], int(c["coat"]), at(c["began"])): c for c in rows("coating/coats.csv")}
    for a in applications:
        sheet, c = PRODUCTS[a.product], log[a.zone.name, a.extent, a.coat, a.began]
        name = f"coating.{a.name}.product"
        for of in ("steel", "air"):
            if f"lowest_{of}_c" in sheet:
                serving = [r for r in rows("coating/climate.csv") if r["zone"] in ("", a.zone.name) and r[f"{of}_temperature_c"]]
                away = [max(hours(at(r["at"]), a.began), hours(a.ended, at(r["at"])), 0.0) for r in serving]
                during = [float(r[f"{of}_temperature_c"]) for r, off in zip(serving, away) if off <= min(away)]
                keeps = sheet[f"lowest_{of}_c"] <= min(during) and max(during) <= sheet[f"highest_{of}_c"]
                say(f"{name}.{of}", None if keeps else "beyond limit")
        if "pot_life_h" in sheet:
            say(f"{name}.pot_life", "beyond limit" if hours(at(c["mixed"]), at(c["used_up"])) > sheet["pot_life_h"] else None)
        if "induction_min" in sheet:
            say(f"{name}.induction", "beyond limit" if hours(at(c["mixed"]), a.began) * 60 < sheet["induction_min"] else None)
        if "thinner" in sheet:
            assert c["thinner"] == sheet["thinner"]
            say(f"{name}.thinner", "beyond limit" if float(c["thinner_share_pct"]) > sheet["greatest_thinner_pct"] else None)


def check_tests():
    """Tests against the scheme, and none before its coat."""
    groups = defaultdict(list)
    for row in rows("coating/tests.csv"):
        groups[row["zone"], int(row["after_coat"]), row["test"]].append(row)
    log = rows("coating/coats.csv")
    for (zone, coat, kind), found in groups.items():
        wanted = next(r for r in rows("coating/scheme.csv") if r["zone"] == zone and int(r["coat"]) == coat)
        when = "began" if kind == "wet-check" else "ended"
        first = min(at(c[when]) for c in log if c["zone"] == zone and int(c["coat"]) == coat)
        assert all(at(r["at"]) >= first and position_at(at(r["at"])) for r in found)
        fits = max(found, key=lambda r: at(r["at"]))["accepted"] == "yes"
        if kind == "pull-off":
            fits &= min(float(r["pull_off_mpa"]) for r in found) >= float(wanted["least_pull_off_mpa"])
        if kind == "cross-cut":
            fits &= max(float(r["cross_cut"]) for r in found) <= float(wanted["greatest_cross_cut"])
        if kind == "holiday":
            fits &= all(r["voltage_v"] == wanted["holiday_voltage_v"] for r in found)
        say(f"coating.test.{zone}.coat{coat}.{kind}", None if fits else "beyond limit")


def check_entered_once(applications):
    """No two rows have zone, coat and product in common and overlap in time."""
    for one, other in combinations(applications, 2):
        alike = (one.zone, one.coat, one.product) == (other.zone, other.coat, other.product)
        assert not (alike and one.began < other.ended and other.began < one.ended), (one.name, other.name)
    say("coating.entered_once")


def check_sides_were_dry(applications):
    """No water level logged during a coat of a side reaches its lowest point, the keel taken as low as the lowest cap."""
    lowest_cap = lowest_keel_block()
    for a in (a for a in applications if a.zone.kind == "side"):
        levels = [float(w["level_m"]) for w in rows("landing/water.csv") if a.began <= at(w["at"]) <= a.ended]
        assert a.position and all(level < lowest_cap + a.zone.lowest_z for level in levels), a.name


def main():
    applications = read_applications()
    lay(applications)
    zones = check_zones()
    check_sides_were_dry(applications)
    parts = {zone.name: cells(zone, applications) for zone in ZONES.values()}
    every_part = [part for found in parts.values() for part in found]
    each = {}
    for a in applications:
        check_times(a)
        each[a.name] = {
            "extent": a.extent, "position": a.position and a.position.name, **check_claim(a), "out_of_order_m2": check_order(a, applications),
            "batch": check_product(a), "climate": check_climate(a), "preparation": check_preparation(a, applications), "paint": check_paint(a),
        }
    readings = rows("coating/film.csv")
    check_preparation_places()
    check_entered_once(applications)
    check_stripes()
    check_product_limits(applications)
    check_tests()
    check_hull_work(applications)
    result = {
        **zones,
        "chains": {z.name: chains(z, parts[z.name]) for z in ZONES.values()},
        "completeness": {z.name: completeness(z, parts[z.name]) for z in ZONES.values()},
        "applications": each,
        "recoat": recoats(applications, every_part),
        "tie_ins": tie_ins(applications, parts),
        "immersion": immersions(parts),
        "dew_points": check_dew_points(),
        "misplaced": check_film_places(readings, applications),
        "gauges": check_gauges(readings),
        "film": check_film(readings),
        "plating": check_plating(),
        "anodes": check_anodes(),
        "period": check_period(),
    }
    failing = {finding: outcome for finding, outcome in OUTCOMES.items() if outcome != "agrees"}
    unlike = sorted(set(failing.items()) ^ set(FAULTS.items()))
    assert not unlike, f"not the faults left in on purpose: {unlike}"
    answered = {r["finding"] for r in table("remarks.toml")["remark"]}
    assert set(FAULTS) <= answered, f"not answered: {sorted(set(FAULTS) - answered)}"
    check_spells()
    result["outcomes"] = dict(sorted(OUTCOMES.items()))
    text = json.dumps(rounded(result), indent=1) + "\n"
    (HERE / "expected_coating.json").write_text(text, encoding="utf-8")
    print(f"{len(OUTCOMES)} findings, {len(failing)} of them faults left in on purpose")


if __name__ == "__main__":
    main()
