"""plan/layers.csv: how the blocks are built, from the floor up.

By row where a row is alike; by block for the oak caps, for the ends where the keel is narrower than the cap, for K61's
packing, and for bilge blocks whose height is not near the row's.
"""

import csv

import blocks
import hull
from writing import ROOT, fixed, write_csv

CONCRETE, OAK, FIR = ("concrete", 25.0), ("oak", 0.30), ("fir", 0.20)
OAK_CAP = ("oak", 0.34)
PACKING = ("oak packing", 0.30)

CONCRETE_MM = 550
MIDDLE_MM, CAP_MM = 500, 300  # keel blocks
BILGE_MIDDLE_MM, BILGE_CAP_MM = 570, 300
FOOT_M2, MIDDLE_M2 = 0.90, 0.72  # of a keel block
FLAT_KEEL_M2 = 0.66
PACKED = {"K61": 20}
NEAR_ROW_MM = 8

COLUMNS = ["block", "row", "order", "material", "thickness_mm", "area_m2", "elastic_modulus_gpa"]


def stack(block, row, layers):
    """Rows of one stack; a layer is ((material, modulus GPa), thickness mm, loaded area m2)."""
    return [
        {
            "block": block, "row": row, "order": str(order), "material": material, "thickness_mm": str(thickness),
            "area_m2": fixed(area, 2), "elastic_modulus_gpa": f"{modulus:g}",
        }
        for order, ((material, modulus), thickness, area) in enumerate(layers, start=1)
    ]


def keel_area_m2(station_m):
    """Flat keel over a keel cap in P1, near enough: narrower at the ends."""
    half = hull.interpolated(hull.FLAT_KEEL_HALF_BREADTHS_M, blocks.x_in_p1_m(station_m))
    return 2.0 * half * blocks.KEEL_LENGTH_MM / 1000.0


def keel_stack(block):
    cap, packing = (OAK_CAP if block["cap_material"] == "oak" else FIR), PACKED.get(block["block"], 0)
    area = keel_area_m2(float(block["station_m"]))
    height = blocks.KEEL_HEIGHT_MM if block["block"] in blocks.WRONG_HEIGHT else int(block["height_mm"])
    layers = [(CONCRETE, CONCRETE_MM, FOOT_M2), (OAK, height - CONCRETE_MM - CAP_MM - packing, MIDDLE_M2), (cap, CAP_MM, area)]
    return layers + ([(PACKING, packing, area)] if packing else [])


def bilge_stack(width_mm, middle_mm):
    area = width_mm / 1000.0 * blocks.BILGE_LENGTH_MM / 1000.0
    return [(CONCRETE, CONCRETE_MM, area * 1.2), (OAK, middle_mm, area), (FIR, BILGE_CAP_MM, area)]


def read_blocks():
    with open(ROOT / "plan/blocks.csv", encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def is_like_row(block):
    if block["row"] == "keel":
        return block["cap_material"] == "fir"
    height = CONCRETE_MM + BILGE_MIDDLE_MM + BILGE_CAP_MM
    return block["width_mm"] == "1000" and abs(int(block["height_mm"]) - height) <= NEAR_ROW_MM


def own_stack(block):
    if block["row"] == "keel":
        return keel_stack(block)
    return bilge_stack(int(block["width_mm"]), int(block["height_mm"]) - CONCRETE_MM - BILGE_CAP_MM)


def stacks():
    """{row or block: layers} of the whole file."""
    out = {"keel": [(CONCRETE, CONCRETE_MM, FOOT_M2), (OAK, MIDDLE_MM, MIDDLE_M2), (FIR, CAP_MM, FLAT_KEEL_M2)]}
    for row in ("bilge-port", "bilge-starboard"):
        out[row] = bilge_stack(1000, BILGE_MIDDLE_MM)
    return out | {b["block"]: own_stack(b) for b in read_blocks() if not is_like_row(b)}


def spring_kn_per_m(layers):
    """The layers in series."""
    return 1.0 / sum(thickness / 1000.0 / (modulus * 1e6 * round(area, 2)) for (_, modulus), thickness, area in layers)


def make():
    rows = []
    for name, layers in stacks().items():
        is_row = name in ("keel", "bilge-port", "bilge-starboard")
        rows += stack("" if is_row else name, name if is_row else "", layers)
    write_csv("plan/layers.csv", COLUMNS, rows)
