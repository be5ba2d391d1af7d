"""hull/plating.csv and hull/anodes.csv: some of the plates that were gauged again in 2031, when less was gone; six anodes.

F starboard lost most of what it lost between the two dockings: the ash chute's drain ran down it.
"""

import clock
import dock
import hull
import plating
from writing import Scatter, fixed, rounded, write_csv

EVERY = 5  # plates
PART_GONE = 0.38  # by 2006, of the loss that 2031 found
PART_GONE_OF = {"F-S": 0.08}
ALSO = {("F-S", 14)}

ANODES = [("OA1", 16.0, 1), ("OA2", 16.0, -1), ("OA3", 45.0, 1), ("OA4", 45.0, -1), ("OA5", 74.0, 1), ("OA6", 74.0, -1)]


def plate_rows():
    out, minute = [], clock.minutes("10 09:00")
    for side in plating.SIDES:
        for strake in plating.STRAKES:
            scatter, again = Scatter(f"plating {strake.letter} {side}"), Scatter(f"older plating {strake.letter} {side}")
            for number in range(1, strake.plates + 1):
                row = plating.gauging(strake, side, number, minute, scatter)
                if number % EVERY != 2 and (row["strake"], number) not in ALSO:
                    continue
                loss = float(row["original_mm"]) - float(row["measured_mm"])
                gone = max(0.0, loss * PART_GONE_OF.get(row["strake"], PART_GONE) + again.within(0.1))
                out.append(row | {"measured_mm": fixed(rounded(float(row["original_mm"]) - gone, 0.1), 1), "note": ""})
                minute += 4
    return out


def anode_rows():
    scatter, out = Scatter("older anodes"), []
    for n, (name, x, side) in enumerate(ANODES):
        fitted = 20.0 + rounded(scatter.within(0.4), 0.1)
        out.append({
            "anode": name, "x_m": fixed(x, 2), "y_m": fixed(side * hull.bottom_half_breadth_m(x), 2), "mass_fitted_kg": fixed(fitted, 1),
            "mass_found_kg": fixed(rounded(fitted * (0.48 + scatter.within(0.1)), 0.1), 1), "renewed": "yes",
            "at": dock.without_offset(clock.later("11 10:00", 10 * n)), "by": dock.PLATE_GAUGER,
        })
    return out


def make():
    # What is asked of a gauging since then has columns of its own.
    columns = plating.COLUMNS[: plating.COLUMNS.index("note")]
    write_csv("hull/plating.csv", columns, [{column: row.get(column, "") for column in columns} for row in plate_rows()])
    write_csv("hull/anodes.csv", ["anode", "x_m", "y_m", "mass_fitted_kg", "mass_found_kg", "renewed", "at", "by"], anode_rows())
