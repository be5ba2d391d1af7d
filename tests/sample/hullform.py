"""The invented hull form, and landing/hydrostatics.csv worked out from it.

A section runs from the flat keel to the bottom's edge, which lies higher toward the ends, and from there to the side:
round amidships, hollow at the ends. All integrals by Simpson's rule; level keel, in water of 1025 kg/m3.
"""

from functools import lru_cache
from math import exp

import hull
from writing import fixed, write_csv

TABLE_DENSITY_T_M3 = 1.025
DRAFTS_M = [round(2.4 + 0.1 * step, 1) for step in range(29)]  # 2.4 to 5.2
TABLE_KG_M = 5.95  # of the moment to change trim

STEP_X_M, STEP_Z_M = 0.4, 0.05
SIDE_HEIGHT_M = 5.0  # where the half-breadths of the side hold
ROUNDING = 0.2  # of the full sections amidships: how soon bottom turns into side, as a part of that height
HOLLOWNESS = 1.3  # of the sections at the ends: above 1 they are hollow
TURN_AMIDSHIPS_M, TURN_AT_ENDS_M = 0.11, 1.7
FULL_FROM_M, FULL_TO_M = 41.0, 60.0  # sections wholly of the first kind; beyond, more and more of the second
ENDS_M = 28.0

SHELL = 1.004  # moulded to outside of plating

COLUMNS = ["draft_m", "displacement_t", "lcb_m", "lcf_m", "tpc_t_per_cm", "mct_tm_per_cm", "km_m"]


def foot_m(x_m):
    """Height at which the section at x begins: 0 along the keel, up the sternpost and up the stem."""
    if x_m < 6.4:
        return 2.9 * (6.4 - x_m) / 5.2
    if x_m > 96.0:
        return 5.6 * ((x_m - 96.0) / 5.0) ** 2
    return 0.0


def fullness(x_m):
    """1 amidships, 0 at the ends, smooth between."""
    away = max(FULL_FROM_M - x_m, x_m - FULL_TO_M, 0.0) / ENDS_M
    return 0.0 if away >= 1.0 else (1.0 - away * away) ** 2


def turn_m(x_m):
    """Height of the bottom's edge above the keel: little amidships, more toward the ends."""
    return TURN_AMIDSHIPS_M + TURN_AT_ENDS_M * (1.0 - fullness(x_m))


def half_breadth_m(x_m, z_m):
    height = z_m - foot_m(x_m)
    if height < 0.0:
        return 0.0
    inner = hull.bottom_half_breadth_m(x_m) if 6.4 <= x_m <= 97.2 else 0.0
    outer = hull.side_half_breadth_m(x_m) if 3.0 <= x_m <= 99.2 else 0.0
    turn = turn_m(x_m)
    if height < turn:
        keel = min(inner, hull.FLAT_KEEL_HALF_BREADTH_M)
        return keel + (inner - keel) * height / turn
    up = (height - turn) / (SIDE_HEIGHT_M - turn)
    round_bilge = (1.0 - exp(-up / ROUNDING)) / (1.0 - exp(-1.0 / ROUNDING))
    full = fullness(x_m)
    shape = full * round_bilge + (1.0 - full) * up**HOLLOWNESS
    return min(inner + (outer - inner) * shape, hull.BREADTH_M / 2.0)


def simpson(values, step):
    """Integral of an odd number of equally spaced values."""
    return step / 3.0 * (values[0] + values[-1] + 4.0 * sum(values[1:-1:2]) + 2.0 * sum(values[2:-1:2]))


def stations():
    count = 2 * round(hull.LENGTH_OVERALL_M / STEP_X_M / 2.0)
    step = hull.LENGTH_OVERALL_M / count
    return [n * step for n in range(count + 1)], step


@lru_cache(maxsize=None)
def waterplane(z_m):
    """Area, its moment about x = 0, second moments about the centreline and about x = 0."""
    xs, step = stations()
    halves = [half_breadth_m(x, z_m) for x in xs]
    return (
        simpson([2.0 * y for y in halves], step), simpson([2.0 * y * x for x, y in zip(xs, halves)], step),
        simpson([2.0 / 3.0 * y**3 for y in halves], step), simpson([2.0 * y * x * x for x, y in zip(xs, halves)], step),
    )


@lru_cache(maxsize=None)
def at(draft_m):
    """A row of the table, LCB and LCF as x in hull axes."""
    count = 2 * round(draft_m / STEP_Z_M / 2.0)
    step = draft_m / count
    heights = [round(n * step, 9) for n in range(count + 1)]
    planes = [waterplane(z) for z in heights]
    volume = SHELL * simpson([p[0] for p in planes], step)
    moment_x = SHELL * simpson([p[1] for p in planes], step)
    moment_z = SHELL * simpson([p[0] * z for p, z in zip(planes, heights)], step)
    area, first, across, along = (SHELL * value for value in planes[-1])
    displacement = volume * TABLE_DENSITY_T_M3
    lcf = first / area
    kb = moment_z / volume
    bml = (along - area * lcf * lcf) / volume
    return {
        "draft_m": draft_m, "displacement_t": displacement, "lcb_x_m": moment_x / volume, "lcf_x_m": lcf,
        "tpc_t_per_cm": area * TABLE_DENSITY_T_M3 / 100.0,
        "mct_tm_per_cm": displacement * (kb + bml - TABLE_KG_M) / (100.0 * hull.LENGTH_BETWEEN_PERPENDICULARS_M),
        "km_m": kb + across / volume,
    }


def buoyancy(draft_aft_m, draft_forward_m, ends_m, density_t_m3):
    """(from, to, mass, centre) of each length between the ends, at a straight waterline."""
    out = []
    slope = (draft_aft_m - draft_forward_m) / hull.LENGTH_BETWEEN_PERPENDICULARS_M
    for a, b in zip(ends_m, ends_m[1:]):
        xs = [a + (b - a) * n / 6.0 for n in range(7)]
        areas = [section_m2(x, draft_aft_m - slope * (x - hull.AFT_PERPENDICULAR_X_M)) for x in xs]
        volume = SHELL * simpson(areas, (b - a) / 6.0)
        if volume > 0.0:
            first = SHELL * simpson([s * x for s, x in zip(areas, xs)], (b - a) / 6.0)
            out.append((a, b, volume * density_t_m3, first / volume))
    return out


def section_m2(x_m, draft_m):
    count = 40
    return simpson([2.0 * half_breadth_m(x_m, draft_m * n / count) for n in range(count + 1)], draft_m / count)


def make():
    write_csv("landing/hydrostatics.csv", COLUMNS, [
        {
            "draft_m": fixed(row["draft_m"], 2), "displacement_t": fixed(row["displacement_t"], 1),
            "lcb_m": fixed(row["lcb_x_m"] - hull.AMIDSHIPS_X_M, 3), "lcf_m": fixed(row["lcf_x_m"] - hull.AMIDSHIPS_X_M, 3),
            "tpc_t_per_cm": fixed(row["tpc_t_per_cm"], 3), "mct_tm_per_cm": fixed(row["mct_tm_per_cm"], 2),
            "km_m": fixed(row["km_m"], 3),
        }
        for row in map(at, DRAFTS_M)
    ])
