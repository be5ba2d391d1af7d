"""plan/positions.csv: the positions that the docking plan offers, two feet apart.

Fault left in on purpose: P2 was taken as the plan's position 2, and laid 0.09 m further aft than that.
"""

from writing import fixed, write_csv

SOURCE = "docking plan CW-31-02, sheet 2"
STATIONS_M = {"1": 14.30, "2": 13.69, "3": 13.08}


def make():
    write_csv("plan/positions.csv", ["plan_position", "srp_station_m", "offset_m", "left_out", "source"], [
        {"plan_position": name, "srp_station_m": fixed(station, 2), "offset_m": "0.000", "left_out": "BS6", "source": SOURCE}
        for name, station in STATIONS_M.items()
    ])
