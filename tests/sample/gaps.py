"""landing/gaps.csv: gaps between cap and hull by feeler and wedge; and landing/buoyancy.csv for the survey in the water.

Fault left in on purpose: BS3 in P2, whose cap had been cut down after the levels were taken.
"""

from collections import namedtuple

import dock
import floating
import girder
import hull
import hullform
import moved
import water
from writing import Scatter, fixed, write_csv

P1, P2 = dock.POSITIONS

# `by` read them one after another, from `began` on, so many minutes apart; `afloat_m` is the water's level, if not dry.
Survey = namedtuple("Survey", "position began apart level_m by keel bilge note")

EVERYWHERE = range(1, 13)
SURVEYS = [
    Survey(P1, "2031-04-07T13:20", 1, water.SURVEY_LEVEL_M, dock.DIVING_SUPERVISOR,
           (1, 2, 10, 20, 28, 36, 46, 52, 58, 60, 61, 62, 63, 64), (2, 4, 8, 10), "by the divers, feeler and wedge"),
    Survey(P1, "2031-04-07T17:20", 2, None, dock.BLOCK_FOREMAN,
           (1, 2, 3, 5, 8, 11, 15, 20, 24, 28, 32, 36, 40, 44, 48, 52, 55, 58, 60, 61, 62, 63, 64), EVERYWHERE, ""),
    Survey(P2, "2031-04-22T18:50", 2, None, dock.BLOCK_FOREMAN,
           (1, 2, 3, 5, 8, 11, 15, 20, 22, 24, 28, 32, 36, 40, 44, 46, 48, 52, 55, 58, 60, 61, 62, 63, 64), EVERYWHERE, ""),
]

CUT_DOWN_M = {("P2", "BS3"): 0.016}
NOTES = {("P2", "BS3"): "top course looks new-sawn", ("P2", "K61"): "thin blade enters"}

BUOYANCY_STEP_M = 3.2


def displaced():
    """Buoyancy in the first survey: (from, to, mass, centre), in all what the table displaces at that water level."""
    density = water.density(P1, "before-landing")
    trim = floating.blocks_trim_m(P1)
    tops = girder.line([(s, top + hull.keel_rise_m(x)) for _, s, x, top in floating.keel_tops(P1)])
    mean = water.SURVEY_LEVEL_M - tops(hull.AMIDSHIPS_X_M + P1.recorded.srp_station_m)
    ends = [hull.AFT_PERPENDICULAR_X_M + BUOYANCY_STEP_M * n for n in range(31)]
    lengths = hullform.buoyancy(mean + trim / 2.0, mean - trim / 2.0, ends, density)
    scale = floating.displaced_t(floating.Floating(mean, trim), density) / sum(mass for _, _, mass, _ in lengths)
    return [(round(a, 2), round(b, 2), round(mass * scale, 1), (a + b) / 2.0) for a, b, mass, _ in lengths]


def gaps(survey):
    moves = [(m.x_m, m.mass_t) for m in moved.before(survey.position.times.touched)]
    lying = girder.rest(survey.position, moves, [] if survey.level_m is None else displaced())
    names = [f"K{n}" for n in survey.keel] + [f"B{side}{n}" for n in survey.bilge for side in "PS"]
    return [(name, lying[name][1]) for name in names if name in lying]


def rows(survey):
    name = survey.position.name
    scatter = Scatter(f"gap survey, taper {name} {survey.began}")
    depth = "" if survey.level_m is None else fixed(survey.level_m - dock.FLOOR_LEVEL_M, 2)
    out = []
    for n, (block, gap) in enumerate(gaps(survey)):
        reading = gap + CUT_DOWN_M.get((name, block), 0.0) + scatter.bell(min(0.0009, 0.1 * gap))
        out.append({
            "position": name, "block": block, "gap_mm": fixed(max(0.0, 1000.0 * reading) if gap > 0.0004 else 0.0, 0),
            "water_depth_m": depth, "by": survey.by, "at": dock.with_offset(minutes_on(survey.began, n * survey.apart)),
            "note": NOTES.get((name, block), survey.note if n == 0 else ""),
        })
    return out


def minutes_on(time, minutes):
    total = water.minutes(time) + minutes
    return f"{time[:10]}T{total // 60:02}:{total % 60:02}"


def make():
    columns = ["position", "block", "gap_mm", "water_depth_m", "by", "at", "note"]
    write_csv("landing/gaps.csv", columns, [row for survey in SURVEYS for row in rows(survey)])
    write_csv("landing/buoyancy.csv", ["position", "water_level_m", "from_x_m", "to_x_m", "buoyancy_t"], [
        {
            "position": P1.name, "water_level_m": fixed(water.SURVEY_LEVEL_M, 2), "from_x_m": fixed(a, 2), "to_x_m": fixed(b, 2),
            "buoyancy_t": fixed(mass, 1),
        }
        for a, b, mass, _ in displaced()
    ])
