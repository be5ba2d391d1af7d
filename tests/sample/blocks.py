"""plan/blocks.csv: 64 keel blocks, 12 pairs of bilge blocks, and K23 a second time, as it stood after it slipped.

Faults left in on purpose: K23 slipped in the shift; K37's height is written 1530 for 1350.
"""

import dock
import hull
from writing import Scatter, fixed, rounded, write_csv

KEEL_BLOCKS = 64
FIRST_STATION_M = 21.50
PITCH_M = 1.40
KEEL_LENGTH_MM, KEEL_WIDTH_MM, KEEL_HEIGHT_MM = 600, 1200, 1350

BILGE_PAIRS = 12
BILGE_LENGTH_MM = 550  # under 600 however it is skewed, so the shift that clears the keel blocks clears these
FIRST_PAIR_BESIDE = 10  # pair 1 is abreast of K10, and then every fourth keel block
KEEL_BLOCKS_PER_PAIR = 4
BILGE_SKEWS_DEG = {1: 8.0, 2: 6.0, 11: -7.0, 12: -9.0}  # port side; starboard the other way
BILGE_CLEARANCES_MM = {1: 15, 2: 12, 3: 10, 4: 8, 5: 2, 6: 2, 7: 2, 8: 6, 9: 8, 10: 10, 11: 12, 12: 15}  # 5 to 7 are wedged to bear lightly
BILGE_WIDTHS_MM = {1: 800, 2: 900, 11: 900, 12: 800}

SLIPPED_STATION_M = -0.40  # K23 in P2, from where it stood in P1
SLIPPED_OFFSET_M = 0.045
SLIPPED_SKEW_DEG = 3.0
WRONG_HEIGHT = {"K37": 1530}

ECHO_SOUNDER_BLOCK = "K45"
INLET_BLOCK = "BS6"

NOTES = {
    "K1": "oak cap, heel of the sternpost",
    "K23": "P1 only, see K23S",
    "K30": "cap new this docking",
    "K45": "drawn clear by divers 22 April while she was afloat",
    "K61": "packed with 20 mm oak",
    "K62": "just clear, both positions",
    "K63": "keel clear of cap, both positions",
    "K64": "keel clear of cap, both positions",
    "BP6": "wedged to bear lightly, as are 5 and 7",
    "BP9": "close to inlet IN2 in P2",
    "BS6": "never built",
    "BP11": "outer corner overhangs the flat",
    "BS11": "outer corner overhangs the flat",
}

COLUMNS = [
    "block", "row", "station_m", "offset_m", "length_mm", "width_mm", "height_mm", "top_level_m", "clearance_mm", "skew_deg",
    "cap_material", "mass_t", "bearing_limit_kpa", "positions", "left_out_because", "moved_from", "note",
]


def keel_station_m(number):
    return FIRST_STATION_M + PITCH_M * (number - 1)


def x_in_p1_m(station_m):
    return station_m - dock.POSITIONS[0].planned.srp_station_m


def top_level(station_m, height_mm, scatter, spread_m=0.0022):
    """The measured level of the cap: floor and height, and the staff's few millimetres."""
    return fixed(dock.floor_level_m(station_m) + height_mm / 1000.0 + rounded(scatter.bell(spread_m), 0.001), 3)


def dressed_level(station_m, scatter):
    """The same for a keel cap: all are dressed to one line, and lie truer than the floor that they stand on."""
    return top_level(station_m, KEEL_HEIGHT_MM, scatter, 0.0004)


def keel_cap(number):
    """Cap timber and its limit: oak under the ends, which land first and last."""
    return ("oak", "3400") if number <= 6 or number >= 59 else ("fir", "2100")


def keel_block(number, scatter):
    name = f"K{number}"
    station_m = keel_station_m(number)
    height_mm = KEEL_HEIGHT_MM + round(scatter.bell(3.0))
    material, limit = keel_cap(number)
    return {
        "block": name, "row": "keel",
        "station_m": fixed(station_m, 2), "offset_m": fixed(rounded(scatter.bell(0.005), 0.005), 3),
        "length_mm": str(KEEL_LENGTH_MM), "width_mm": str(KEEL_WIDTH_MM),
        "height_mm": str(WRONG_HEIGHT.get(name, height_mm)), "top_level_m": dressed_level(station_m, scatter),
        "skew_deg": "0", "cap_material": material,
        "mass_t": fixed(1.95 + rounded(scatter.within(0.05), 0.05), 2), "bearing_limit_kpa": limit,
        "note": NOTES.get(name, ""),
    }


def slipped(block, scatter):
    """K23 as it was found in P2, a row of its own."""
    station_m = float(block["station_m"]) + SLIPPED_STATION_M
    return dict(
        block, block="K23S", station_m=fixed(station_m, 2), offset_m=fixed(float(block["offset_m"]) + SLIPPED_OFFSET_M, 3),
        top_level_m=dressed_level(station_m, scatter), skew_deg=fixed(SLIPPED_SKEW_DEG, 1), positions="P2", moved_from="K23",
        note="K23 as found by the diver 22 April: slid 0.40 m aft and turned",
    )


def keel_row():
    scatter = Scatter("keel blocks")
    rows = [keel_block(number, scatter) for number in range(1, KEEL_BLOCKS + 1)]
    at = {row["block"]: index for index, row in enumerate(rows)}
    rows[at["K23"]]["positions"] = "P1"
    rows[at[ECHO_SOUNDER_BLOCK]].update(positions="P1", left_out_because="echo sounder ES1 would lie under it in P2")
    rows.insert(at["K23"] + 1, slipped(rows[at["K23"]], scatter))
    return rows


def bilge_offset_m(pair, station_m, width_mm):
    """As far out as the flat allows, with some left for the bilge; the forward pairs a little too far."""
    inside_m = {1: 0.10, 2: 0.20, 11: 0.05, 12: 0.15}.get(pair, 0.25)
    return rounded(hull.bottom_half_breadth_m(x_in_p1_m(station_m)) - inside_m - width_mm / 2000.0, 0.05)


def bilge_block(pair, side, scatter):
    sign = 1 if side == "port" else -1
    name = f"B{side[0].upper()}{pair}"
    station_m = keel_station_m(FIRST_PAIR_BESIDE + KEEL_BLOCKS_PER_PAIR * (pair - 1)) + rounded(scatter.within(0.02), 0.01)
    width_mm = BILGE_WIDTHS_MM.get(pair, 1000)
    offset_m = bilge_offset_m(pair, station_m, width_mm)
    clearance_mm = BILGE_CLEARANCES_MM[pair]
    height_mm = round(KEEL_HEIGHT_MM + 1000 * hull.floor_rise_m(offset_m) - clearance_mm + scatter.bell(4.0))
    return {
        "block": name, "row": f"bilge-{side}",
        "station_m": fixed(station_m, 2), "offset_m": fixed(sign * offset_m + rounded(scatter.bell(0.006), 0.005), 3),
        "length_mm": str(BILGE_LENGTH_MM), "width_mm": str(width_mm),
        "height_mm": str(height_mm), "top_level_m": top_level(station_m, height_mm, scatter),
        "clearance_mm": str(clearance_mm), "skew_deg": fixed(sign * BILGE_SKEWS_DEG.get(pair, 0.0), 1).removesuffix(".0"),
        "cap_material": "fir", "mass_t": fixed(1.55 + rounded(scatter.within(0.05), 0.05), 2), "bearing_limit_kpa": "2100",
        "note": NOTES.get(name, ""),
    }


def bilge_rows():
    rows = []
    for side in ("port", "starboard"):
        scatter = Scatter("bilge blocks " + side)
        rows += [bilge_block(pair, side, scatter) for pair in range(1, BILGE_PAIRS + 1)]
    for row in rows:
        if row["block"] == INLET_BLOCK:
            row.update(positions="none", left_out_because="main inlet SC3 is over its place in both positions", top_level_m="", mass_t="")
    return rows


def make():
    write_csv("plan/blocks.csv", COLUMNS, keel_row() + bilge_rows())
