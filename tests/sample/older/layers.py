"""plan/layers.csv: how the blocks were built, from the floor up; by block where the cap bears on more or less than the row's."""

import csv

import blocks
import hull
from writing import ROOT, fixed, write_csv

CONCRETE, OAK, FIR = ("concrete", 25.0), ("oak", 0.30), ("fir", 0.20)
OAK_CAP = ("oak", 0.34)
CONCRETE_MM, MIDDLE_MM, CAP_MM = 600, 500, 300
BILGE_MIDDLE_MM = 590
FOOT_OVER_CAP, MIDDLE_OVER_CAP = 1.35, 1.10  # loaded areas of what lies under a keel cap

COLUMNS = ["block", "row", "order", "material", "thickness_mm", "area_m2", "elastic_modulus_gpa"]


def keel_stack(cap, area_m2):
    return [(CONCRETE, CONCRETE_MM, area_m2 * FOOT_OVER_CAP), (OAK, MIDDLE_MM, area_m2 * MIDDLE_OVER_CAP), (cap, CAP_MM, area_m2)]


def bilge_stack(length_mm):
    area = length_mm * blocks.BILGE_WIDTH_MM / 1e6
    return [(CONCRETE, CONCRETE_MM, area * 1.2), (OAK, BILGE_MIDDLE_MM, area), (FIR, CAP_MM, area)]


def own_stack(block):
    if block["row"] != "keel":
        return bilge_stack(int(block["length_mm"]))
    keel_m = 2.0 * hull.interpolated(hull.FLAT_KEEL_HALF_BREADTHS_M, blocks.x_in_p1_m(float(block["station_m"])))
    bears_m = min(keel_m, int(block["width_mm"]) / 1000.0)
    return keel_stack(OAK_CAP if block["cap_material"] == "oak" else FIR, bears_m * int(block["length_mm"]) / 1000.0)


def stacks():
    """{row or block: layers} of the whole file."""
    rows = {
        "keel": keel_stack(FIR, 2.0 * hull.FLAT_KEEL_HALF_BREADTH_M * blocks.KEEL_LENGTH_MM / 1000.0),
        "bilge-port": bilge_stack(blocks.BILGE_LENGTH_MM), "bilge-starboard": bilge_stack(blocks.BILGE_LENGTH_MM),
    }
    return rows | {b["block"]: own_stack(b) for b in read_blocks() if b["cap_material"] == "oak" or b["block"] in blocks.LONGER_MM}


def read_blocks():
    """As ../girder.py wants them: standing in every position."""
    with open(ROOT / "plan/blocks.csv", encoding="utf-8", newline="") as file:
        return [row | {"positions": ""} for row in csv.DictReader(file)]


def spring_kn_per_m(layers):
    """The layers in series."""
    return 1.0 / sum(thickness / 1000.0 / (modulus * 1e6 * round(area, 2)) for (_, modulus), thickness, area in layers)


def make():
    rows = []
    for name, layers in stacks().items():
        is_row = name in ("keel", "bilge-port", "bilge-starboard")
        rows += [
            {
                "block": "" if is_row else name, "row": name if is_row else "", "order": str(order), "material": material,
                "thickness_mm": str(thickness), "area_m2": fixed(area, 2), "elastic_modulus_gpa": f"{modulus:g}",
            }
            for order, ((material, modulus), thickness, area) in enumerate(layers, start=1)
        ]
    write_csv("plan/layers.csv", COLUMNS, rows)
