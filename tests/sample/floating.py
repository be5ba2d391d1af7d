"""How she truly floated and took the blocks: drafts from weight and centre, first touch, landed, with the printed table.

Draft surveys and landings use the same formulas the other way round, so that a record made from
these and its recomputation agree but for the readings' scatter.
"""

import csv
from collections import namedtuple
from functools import lru_cache
from math import radians, tan

import girder
import hull
import hullform
import moved
from writing import ROOT

LENGTH_M = hull.LENGTH_BETWEEN_PERPENDICULARS_M
MIDDLE_X_M = hull.AMIDSHIPS_X_M

HOG_M = 0.024  # afloat
KG_M = 5.93  # as she came, with free surface

# As she floats: weight, its centre, KG, list.
Condition = namedtuple("Condition", "mass_t x_m kg_m list_deg")
AS_DOCKED = Condition(hull.DISPLACEMENT_AS_DOCKED_T, 50.335, KG_M, 0.14)

# Straight waterline without hog: draft amidships and trim, in table terms.
Floating = namedtuple("Floating", "mean_m trim_m")


@lru_cache(maxsize=None)
def table():
    with open(ROOT / "landing/hydrostatics.csv", encoding="utf-8", newline="") as file:
        return [{k: float(v) for k, v in row.items()} for row in csv.DictReader(file)]


def looked_up(value, column):
    for a, b in zip(table(), table()[1:]):
        if a[column] <= value <= b[column]:
            part = (value - a[column]) / (b[column] - a[column])
            return {k: a[k] + part * (b[k] - a[k]) for k in a}
    raise ValueError(f"{column} {value} is outside the table")


def displaced_t(floating, density):
    row = looked_up(floating.mean_m, "draft_m")
    over, under = (looked_up(floating.mean_m + d, "draft_m")["mct_tm_per_cm"] for d in (0.5, -0.5))
    first = -100.0 * floating.trim_m * row["tpc_t_per_cm"] * row["lcf_m"] / LENGTH_M
    second = 50.0 * floating.trim_m**2 * (over - under) / LENGTH_M
    return (row["displacement_t"] + first + second) * density / hullform.TABLE_DENSITY_T_M3


def buoyancy_x_m(floating, density):
    """Centre of buoyancy as trimmed."""
    row = looked_up(displaced_t(floating, density) * hullform.TABLE_DENSITY_T_M3 / density, "displacement_t")
    return MIDDLE_X_M + row["lcb_m"] - 100.0 * floating.trim_m * row["mct_tm_per_cm"] / row["displacement_t"]


def bisect(wrong, low, high):
    for _ in range(80):
        middle = (low + high) / 2.0
        low, high = (middle, high) if wrong(middle) < 0.0 else (low, middle)
    return (low + high) / 2.0


def float_at(condition, density):
    """Where she floats in water of a density."""
    mean, trim = 4.0, 0.4
    for _ in range(30):
        mean = bisect(lambda m: displaced_t(Floating(m, trim), density) - condition.mass_t, 3.4, 4.6)
        trim = bisect(lambda t: condition.x_m - buoyancy_x_m(Floating(mean, t), density), -1.0, 2.0)
    return Floating(mean, trim)


def draft_at_m(floating, x_m, y_m=0.0, list_deg=0.0):
    """Draft at a place, hog counted: the line of the ends lies three quarters of the hog deeper than the mean."""
    straight = floating.mean_m + 0.75 * HOG_M - floating.trim_m * (x_m - MIDDLE_X_M) / LENGTH_M
    bow = 1.0 - (2.0 * (x_m - MIDDLE_X_M) / LENGTH_M) ** 2
    return straight - HOG_M * bow + y_m * tan(radians(list_deg))


def after(condition, moves):
    """The condition with weights moved; the list follows from their moment and the GM."""
    mass = condition.mass_t + sum(m.mass_t for m in moves)
    x = (condition.mass_t * condition.x_m + sum(m.mass_t * m.x_m for m in moves)) / mass
    kg = (condition.mass_t * condition.kg_m + sum(m.mass_t * m.z_m for m in moves)) / mass
    gm = looked_up(mass, "displacement_t")["km_m"] - kg
    heel = sum(m.mass_t * m.y_m for m in moves) / (mass * gm) * 57.29578
    return Condition(mass, x, kg, condition.list_deg + heel)


def in_position(position):
    """As she lands in a position: what had been moved when she touched."""
    return after(AS_DOCKED, moved.before(position.times.touched))


def leaving(position):
    return after(AS_DOCKED, moved.before(position.times.afloat))


def keel_tops(position):
    """(name, station, x, top less keel rise) of the keel blocks that stand in a position."""
    out = []
    for block in girder.standing(position):
        if block["row"] == "keel":
            station = float(block["station_m"])
            x = station - position.recorded.srp_station_m
            out.append((block["block"], station, x, float(block["top_level_m"]) - hull.keel_rise_m(x)))
    return out


def blocks_trim_m(position):
    """Trim of the line of the blocks over the perpendiculars: + as by the stern."""
    tops = girder.line([(s, top + hull.keel_rise_m(x)) for _, s, x, top in keel_tops(position)])
    return (tops(LENGTH_M) - tops(0.0))


def touch(position, condition, density):
    """Water level at first touch, and the block."""
    floating = float_at(condition, density)
    return max((top + draft_at_m(floating, x), name) for name, _, x, top in keel_tops(position))


def landed_level_m(position, condition, density):
    """Water level when the keel first lies along the blocks, the knuckle held."""
    floating, level = float_at(condition, density), touch(position, condition, density)
    _, _, knuckle_x, top = next(row for row in keel_tops(position) if row[0] == level[1])
    trim = blocks_trim_m(position)

    def moment(mean):
        lying = Floating(mean, trim)
        lift = condition.mass_t - displaced_t(lying, density)
        return displaced_t(lying, density) * buoyancy_x_m(lying, density) + lift * knuckle_x - condition.mass_t * condition.x_m

    mean = bisect(moment, floating.mean_m - 0.4, floating.mean_m + 0.4)
    offset = level[0] - top - (floating.mean_m - floating.trim_m * (knuckle_x - MIDDLE_X_M) / LENGTH_M)
    return top + offset + mean - trim * (knuckle_x - MIDDLE_X_M) / LENGTH_M
