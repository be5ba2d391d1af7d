"""hull/anodes.csv: 24 anodes along the turn of the bilge and by the rudder, weighed as fitted and as found.

Fault left in on purpose: AN17 was found heavier than it is said to have been fitted.
"""

import clock
import dock
import hull
from writing import Scatter, fixed, rounded, write_csv

PER_SIDE = 12
FIRST_X_M, APART_M = 9.0, 7.2
PATTERNS_KG = {1: 10.0, 2: 10.0, 12: 12.0}  # small ones at the ends
MASS_KG = 20.0
CARRIED_OVER = {"AN17": 12.0}  # fitted mass copied from the line above in the list of 2027
KEPT = {"AN6", "AN18"}

COLUMNS = ["anode", "x_m", "y_m", "mass_fitted_kg", "mass_found_kg", "renewed", "at", "by", "note"]


def row(number, minute, scatter):
    place = (number + 1) // 2
    name, side = f"AN{number}", 1 if number % 2 else -1
    x = FIRST_X_M + APART_M * (place - 1)
    fitted = PATTERNS_KG.get(place, MASS_KG) + rounded(scatter.within(0.4), 0.1)
    left = (0.64 if name in KEPT else 0.42 + 0.015 * place) + scatter.within(0.04)
    found = fitted * left if name not in CARRIED_OVER else CARRIED_OVER[name] + 0.9
    return {
        "anode": name, "x_m": fixed(x, 2), "y_m": fixed(side * hull.bottom_half_breadth_m(x), 2),
        "mass_fitted_kg": fixed(CARRIED_OVER.get(name, fitted), 1), "mass_found_kg": fixed(rounded(found, 0.1), 1),
        "renewed": "no" if name in KEPT else "yes", "at": dock.without_offset(clock.written(minute)), "by": dock.PLATE_GAUGER,
        "note": "cleaned and left, good for another two years" if name in KEPT else "",
    }


def make():
    scatter, first = Scatter("anodes"), clock.minutes("11 10:00")
    write_csv("hull/anodes.csv", COLUMNS, [row(number, first + 6 * number, scatter) for number in range(1, 2 * PER_SIDE + 1)])
