"""plan/keel.csv: the keel's underside, sighted along the ship."""

import hull
from writing import fixed, write_csv


def make():
    write_csv("plan/keel.csv", ["x_m", "rise_mm"], [
        {"x_m": fixed(x, 2), "rise_mm": fixed(1000.0 * rise, 0)} for x, rise in hull.KEEL_RISES_M
    ])
