"""plan/blocks.csv: 36 keel blocks, 1.00 m long and 2.40 m apart, and 6 pairs of bilge blocks. Plain numbers name them.

Left in on purpose: block 13, of two caps side by side, and bilge block 4S, on a long sleeper, are longer than the shift, so
that a strip under each was never exposed. The docking of 2031 stands on a part of the first strip again, both times.
"""

import dock
import hull
from writing import Scatter, fixed, rounded, write_csv

KEEL_BLOCKS = 36
FIRST_STATION_M = 22.62
PITCH_M = 2.40
KEEL_LENGTH_MM, KEEL_WIDTH_MM, KEEL_HEIGHT_MM = 1000, 1250, 1400

BILGE_BESIDE = [11, 15, 19, 23, 26, 29]  # the keel block abreast of each pair
BILGE_LENGTH_MM, BILGE_WIDTH_MM, BILGE_CLEARANCE_MM = 750, 1000, 6
INSIDE_M = 0.25  # of the bottom's edge

LONGER_MM = {"13": 1400, "4S": 1350}
NARROWER_MM = {"13": 1050}  # than the flat keel
NOTES = {
    "1": "oak cap, heel of the sternpost",
    "13": "two caps side by side, the old single block being split",
    "36": "just clear",
    "4S": "on a long sleeper, for want of another",
}

COLUMNS = [
    "block", "row", "station_m", "offset_m", "length_mm", "width_mm", "height_mm", "top_level_m", "clearance_mm", "skew_deg",
    "cap_material", "bearing_limit_kpa", "note",
]


def keel_station_m(number):
    return FIRST_STATION_M + PITCH_M * (number - 1)


def x_in_p1_m(station_m):
    return station_m - dock.POSITIONS[0].recorded.srp_station_m


def keel_block(number, scatter):
    name, station_m = str(number), keel_station_m(number)
    height_mm = KEEL_HEIGHT_MM + round(scatter.bell(2.0))
    oak = number <= 3 or number >= 35
    return {
        "block": name, "row": "keel", "station_m": fixed(station_m, 2), "offset_m": "0.000",
        "length_mm": str(LONGER_MM.get(name, KEEL_LENGTH_MM)), "width_mm": str(NARROWER_MM.get(name, KEEL_WIDTH_MM)), "height_mm": str(height_mm),
        "top_level_m": fixed(dock.floor_level_m(station_m) + KEEL_HEIGHT_MM / 1000.0 + rounded(scatter.bell(0.0004), 0.001), 3),
        "skew_deg": "0", "cap_material": "oak" if oak else "fir", "bearing_limit_kpa": "3400" if oak else "2100",
        "note": NOTES.get(name, ""),
    }


def keel_row():
    scatter = Scatter("older keel blocks")
    return [keel_block(number, scatter) for number in range(1, KEEL_BLOCKS + 1)]


def bilge_block(pair, side, scatter):
    name, sign = f"{pair}{side}", 1 if side == "P" else -1
    station_m = keel_station_m(BILGE_BESIDE[pair - 1])
    half = hull.bottom_half_breadth_m(x_in_p1_m(station_m))
    offset_m = rounded(half - INSIDE_M - BILGE_WIDTH_MM / 2000.0, 0.05)
    height_mm = round(KEEL_HEIGHT_MM + 1000 * hull.floor_rise_m(offset_m) - BILGE_CLEARANCE_MM)
    return {
        "block": name, "row": "bilge-port" if side == "P" else "bilge-starboard",
        "station_m": fixed(station_m, 2), "offset_m": fixed(sign * offset_m, 3),
        "length_mm": str(LONGER_MM.get(name, BILGE_LENGTH_MM)), "width_mm": str(BILGE_WIDTH_MM), "height_mm": str(height_mm),
        "top_level_m": fixed(dock.floor_level_m(station_m) + height_mm / 1000.0 + rounded(scatter.bell(0.002), 0.001), 3),
        "clearance_mm": str(BILGE_CLEARANCE_MM), "skew_deg": "0", "cap_material": "fir", "bearing_limit_kpa": "2100",
        "note": NOTES.get(name, ""),
    }


def bilge_rows():
    scatter = Scatter("older bilge blocks")
    return [bilge_block(pair, side, scatter) for side in "PS" for pair in range(1, len(BILGE_BESIDE) + 1)]


def make():
    write_csv("plan/blocks.csv", COLUMNS, keel_row() + bilge_rows())
