"""coating/scheme.csv: which coat of what goes where, how thick, and what the steel must be before it."""

from collections import namedtuple

from writing import write_csv

Coat = namedtuple("Coat", "product nominal_um least_um greatest_um")
Steel = namedtuple("Steel", "grade least_profile_um greatest_profile_um greatest_salts_mg_m2 greatest_dust")

UNDER_WATER = [Coat("EP1", 125, 100, 200), Coat("EP2", 125, 100, 200), Coat("TC3", 75, 60, 125), Coat("AF4", 100, 80, 200)]
SIDE = [Coat("EP1", 125, 100, 200), Coat("EP2", 125, 100, 200), Coat("FN5", 100, 80, 180)]

BLASTED = Steel("Sa2.5", 50, 90, 50, 2)
SIDE_BLASTED = Steel("Sa2", 40, 90, 50, 3)

SCHEMES = {
    "KL": (BLASTED, UNDER_WATER), "BP": (BLASTED, UNDER_WATER), "BS": (BLASTED, UNDER_WATER),
    "SP": (SIDE_BLASTED, SIDE), "SS": (SIDE_BLASTED, SIDE),
}

# What tests after a coat must show.
ASKED = {
    ("SP", 3): {"least_pull_off_mpa": "5"}, ("SS", 3): {"least_pull_off_mpa": "5"}, ("BS", 3): {"greatest_cross_cut": "2"},
    ("BP", 4): {"holiday_voltage_v": "90"},
}

COLUMNS = [
    "zone", "coat", "product", "nominal_dft_um", "least_dft_um", "greatest_dft_um",
    "grade", "least_profile_um", "greatest_profile_um", "greatest_salts_mg_m2", "greatest_dust", "stripe", "least_pull_off_mpa", "greatest_cross_cut", "holiday_voltage_v",
]


def coat(zone, number):
    return SCHEMES[zone][1][number - 1]


def rows():
    out = []
    for zone, (steel, coats) in SCHEMES.items():
        for number, c in enumerate(coats, start=1):
            cells = {
                "zone": zone, "coat": str(number), "product": c.product, "nominal_dft_um": str(c.nominal_um),
                "least_dft_um": str(c.least_um), "greatest_dft_um": str(c.greatest_um),
            }
            cells |= ASKED.get((zone, number), {})
            if number == 2:
                cells["stripe"] = "yes"
            out.append(cells | ({name: str(value) for name, value in steel._asdict().items()} if number == 1 else {}))
    return out


def make():
    write_csv("coating/scheme.csv", COLUMNS, rows())
