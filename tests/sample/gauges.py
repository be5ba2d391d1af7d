"""coating/gauges.csv: the two film gauges held against foils of known thickness, every working morning.

Fault left in on purpose: DF2's check of 16 April was not written down.
"""

import clock
import dock
from writing import Scatter, fixed, rounded, write_csv

PROFILE_CORRECTION_UM = {"DF1": 20, "DF2": 21}  # found on the bare blasted steel of the test plate
FOILS_UM = [125, 252, 501]
WORKING_DAYS = ["10", "11", "12", "14", "15", "16", "17", "18", "19", "20", "21", "23", "24", "25", "27", "28"]
NOT_WRITTEN = {("DF2", "16")}


def check(gauge, day, minute, foil, scatter):
    return {
        "gauge": gauge, "reference_um": str(foil), "reading_um": fixed(rounded(foil * (1.0 + scatter.bell(0.006)), 1.0), 0),
        "profile_correction_um": str(PROFILE_CORRECTION_UM[gauge]),
        "at": dock.without_offset(clock.later(f"{day} 07:30", minute)), "by": dock.COATING_INSPECTOR,
    }


def make():
    scatter = Scatter("gauge checks")
    rows = []
    for day in WORKING_DAYS:
        for n, gauge in enumerate(PROFILE_CORRECTION_UM):
            rows += [check(gauge, day, 5 * n + m, foil, scatter) for m, foil in enumerate(FOILS_UM) if (gauge, day) not in NOT_WRITTEN]
    write_csv("coating/gauges.csv", ["gauge", "reference_um", "reading_um", "profile_correction_um", "at", "by"], rows)
