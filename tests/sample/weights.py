"""landing/weights.csv and landing/stiffness.csv: what she weighs along her length, and how stiff she is.

The lengths are a frame-by-frame estimate as an office makes one: it misses the draft survey by a few tonnes.
"""

import hull
from writing import fixed, write_csv

TOTAL_T = 3176.0
CENTRE_X_M = 50.31

FIRST_X_M = 0.6
LENGTHS = 32

# Point masses: (x, mass, what)
POINTS = [
    (8.60, 21.5, "screws, tail shafts and brackets"), (33.40, 58.0, "condensers with water"), (36.20, 74.0, "turbines and gearing"),
    (44.90, 118.0, "two after boilers, steaming level"), (51.10, 118.0, "two forward boilers, empty"), (92.40, 26.4, "anchors and cable"),
]

# Everything else in tonnes per metre at x, before it is made to fit: hull, houses, machinery spread out, stores.
DENSITY = [
    (0.6, 3.0), (3.2, 5.5), (7.0, 9.0), (12.0, 14.0), (20.0, 23.5), (30.0, 36.0), (40.0, 41.5), (50.0, 41.5), (60.0, 40.5),
    (70.0, 32.0), (80.0, 19.5), (86.0, 12.5), (91.0, 7.5), (95.0, 4.5), (101.4, 1.5),
]

# Hull girder: (from, to, second moment m4, shear area m2)
STIFFNESS = [
    (0.0, 6.0, 0.22, 0.060), (6.0, 12.0, 0.44, 0.095), (12.0, 20.0, 0.74, 0.130), (20.0, 30.0, 1.02, 0.165), (30.0, 40.0, 1.24, 0.190),
    (40.0, 60.0, 1.36, 0.205), (60.0, 70.0, 1.22, 0.190), (70.0, 80.0, 0.98, 0.160), (80.0, 88.0, 0.66, 0.125), (88.0, 94.0, 0.38, 0.090),
    (94.0, 101.4, 0.16, 0.055),
]
E_GPA, G_GPA = 206, 79


def lengths():
    """(from, to, mass, centre) of each length, as printed: linear within it, total and centre as wanted."""
    step = (hull.LENGTH_OVERALL_M - FIRST_X_M) / LENGTHS
    ends = [round(FIRST_X_M + n * step, 2) for n in range(LENGTHS + 1)]
    points = sum(m for _, m, _ in POINTS)
    wanted = TOTAL_T - points
    wanted_moment = TOTAL_T * CENTRE_X_M - sum(x * m for x, m, _ in POINTS)
    middle = hull.AMIDSHIPS_X_M

    def at(x, tilt):
        return hull.interpolated(DENSITY, x) * (1.0 + tilt * (x - middle))

    def rows(tilt):
        out = []
        for a, b in zip(ends, ends[1:]):
            qa, qb = at(a, tilt), at(b, tilt)
            mass = (qa + qb) / 2.0 * (b - a)
            out.append((a, b, mass, a + (b - a) * (qa + 2.0 * qb) / (3.0 * (qa + qb))))
        return out

    def centre(tilt):
        return sum(r[2] * r[3] for r in rows(tilt)) / sum(r[2] for r in rows(tilt))

    low, high = -0.01, 0.01
    for _ in range(60):
        tilt = (low + high) / 2.0
        low, high = (tilt, high) if centre(tilt) < wanted_moment / wanted else (low, tilt)
    found = rows(tilt)
    scale = wanted / sum(r[2] for r in found)
    return [(a, b, round(mass * scale, 1), round(x, 2)) for a, b, mass, x in found]


def along():
    """Every row of the weight curve: (from, to, mass, centre, note), points too, in order."""
    rows = [(*row, "") for row in lengths()] + [(x, x, mass, x, what) for x, mass, what in POINTS]
    return sorted(rows)


def make():
    write_csv("landing/weights.csv", ["from_x_m", "to_x_m", "mass_t", "centre_x_m", "note"], [
        {"from_x_m": fixed(a, 2), "to_x_m": fixed(b, 2), "mass_t": fixed(mass, 1), "centre_x_m": fixed(x, 2), "note": what}
        for a, b, mass, x, what in along()
    ])
    columns = ["from_x_m", "to_x_m", "second_moment_m4", "shear_area_m2", "elastic_modulus_gpa", "shear_modulus_gpa"]
    write_csv("landing/stiffness.csv", columns, [
        dict(zip(columns, (fixed(a, 1), fixed(b, 1), fixed(moment, 2), fixed(area, 3), str(E_GPA), str(G_GPA))))
        for a, b, moment, area in STIFFNESS
    ])
