"""coating/: zones, products, scheme, preparation and coats of 2006. Three coats under water, two on the sides."""

from collections import namedtuple

import clock
import dock
import places
import zones
from writing import Scatter, fixed, rounded, write_csv, write_text

Product = namedtuple("Product", "generic_type volume_solids_pct nominal_um immersion_h shelf_life_d batch made table")

# The table is of rows (degrees of the steel, least hours, greatest days).
PRODUCTS = {
    "CR1": Product("chlorinated rubber anticorrosive, grey", 42, 80, 12, 730, "CR1-0904", "2006-04-20",
                   [(5, 12, 60), (10, 8, 60), (15, 6, 45), (20, 5, 30)]),
    "TF2": Product("ablative antifouling, free of tin, red", 48, 100, 12, 365, "TF2-0906", "2006-06-11",
                   [(5, 12, 60), (10, 9, 60), (15, 8, 60), (20, 6, 60)]),
    "AS3": Product("alkyd side enamel, black", 50, 60, 12, 730, "AS3-0902", "2006-02-16",
                   [(5, 24, 30), (10, 18, 30), (15, 14, 30), (20, 10, 30)]),
}
UNDER_WATER, SIDE = ["CR1", "CR1", "TF2"], ["CR1", "AS3"]
SCHEMES = {"KL": UNDER_WATER, "BP": UNDER_WATER, "BS": UNDER_WATER, "SP": SIDE, "SS": SIDE}
THICKEST = 2.2  # of the nominal film
COMB_UM = 10.0  # between the teeth of the wet film comb

Application = namedtuple("Application", "zone extent coat began ended over_nominal loss")
APPLICATIONS = [Application(*entry) for entry in [
    ("KL", "exposed", 1, "09 11:00", "09 13:00", 1.12, 1.22), ("BP", "exposed", 1, "09 13:20", "09 17:00", 1.14, 1.18),
    ("BS", "exposed", 1, "10 10:30", "10 14:10", 1.11, 1.18), ("SP", "all", 1, "10 14:30", "10 18:20", 1.10, 1.20),
    ("KL", "exposed", 2, "11 09:30", "11 11:20", 1.15, 1.22), ("BP", "exposed", 2, "11 12:00", "11 15:40", 1.12, 1.19),
    ("BS", "exposed", 2, "12 09:30", "12 13:00", 1.13, 1.18), ("SS", "all", 1, "12 13:40", "12 17:30", 1.12, 1.20),
    ("KL", "exposed", 3, "14 09:30", "14 11:20", 1.14, 1.24), ("BP", "exposed", 3, "14 12:00", "14 15:30", 1.12, 1.19),
    ("BS", "exposed", 3, "15 09:00", "15 12:20", 1.12, 1.19), ("SP", "all", 2, "14 15:50", "14 18:30", 1.15, 1.21),
    ("SS", "all", 2, "15 12:40", "15 16:00", 1.14, 1.21),
    ("KL", "patches", 1, "17 11:30", "17 13:00", 1.12, 1.26), ("BP", "patches", 1, "17 13:15", "17 14:20", 1.12, 1.28),
    ("BS", "patches", 1, "17 14:30", "17 15:30", 1.12, 1.28),
    ("KL", "patches", 2, "18 09:30", "18 11:00", 1.13, 1.26), ("BP", "patches", 2, "18 11:15", "18 12:15", 1.12, 1.28),
    ("BS", "patches", 2, "18 12:30", "18 13:30", 1.12, 1.28),
    ("KL", "patches", 3, "19 09:30", "19 11:00", 1.13, 1.26), ("BP", "patches", 3, "19 11:15", "19 12:15", 1.12, 1.28),
    ("BS", "patches", 3, "19 12:30", "19 13:30", 1.12, 1.28),
]]

# Zone, extent, treatment, when, method.
WORK = [
    ("KL", "exposed", "wash", "08 09:30", "fresh water, 250 bar"), ("BP", "exposed", "wash", "08 11:00", "fresh water, 250 bar"),
    ("BS", "exposed", "wash", "08 13:00", "fresh water, 250 bar"), ("SP", "all", "wash", "08 15:00", "fresh water, 250 bar"),
    ("SS", "all", "wash", "08 17:00", "fresh water, 250 bar"),
    ("KL", "exposed", "wash", "16 19:30", "fresh water, 250 bar"), ("BP", "exposed", "wash", "16 20:10", "fresh water, 250 bar"),
    ("BS", "exposed", "wash", "16 20:50", "fresh water, 250 bar"),
]
# Two readings of blasted steel each: zone, extent, when, grade, profile, salts.
BLASTS = [
    ("KL", "exposed", "09 08:30", "Sa2.5", 62, 28), ("BP", "exposed", "09 10:00", "Sa2.5", 64, 25), ("BS", "exposed", "10 08:40", "Sa2.5", 60, 26),
    ("SP", "all", "10 11:00", "Sa2", 52, 30), ("SS", "all", "12 09:00", "Sa2", 50, 29),
    ("KL", "patches", "17 08:30", "Sa2.5", 61, 31), ("BP", "patches", "17 09:30", "Sa2.5", 60, 30), ("BS", "patches", "17 10:10", "Sa2.5", 60, 30),
]


def product_text(name, product):
    parts = [f"""[[product]]
product = "{name}"
generic_type = "{product.generic_type}"
volume_solids_pct = {product.volume_solids_pct}
nominal_dft_um = {product.nominal_um}
least_to_immersion_h = {product.immersion_h}
shelf_life_d = {product.shelf_life_d}
"""]
    parts += [f'[[recoat]]\nproduct = "{name}"\nsteel_temperature_c = {c}\nleast_h = {h}\ngreatest_d = {d}\n' for c, h, d in product.table]
    return "\n".join([*parts, f'[[batch]]\nbatch = "{product.batch}"\nproduct = "{name}"\nmade = {product.made}\n'])


def scheme_rows():
    steel = {"KL": "Sa2.5", "BP": "Sa2.5", "BS": "Sa2.5", "SP": "Sa2", "SS": "Sa2"}
    return [
        {
            "zone": zone, "coat": str(number), "product": name, "nominal_dft_um": str(PRODUCTS[name].nominal_um),
            "least_dft_um": fixed(0.8 * PRODUCTS[name].nominal_um, 0), "greatest_dft_um": fixed(THICKEST * PRODUCTS[name].nominal_um, 0),
            "grade": steel[zone] if number == 1 else "", "greatest_salts_mg_m2": "60" if number == 1 else "",
        }
        for zone, names in SCHEMES.items() for number, name in enumerate(names, start=1)
    ]


def preparation_rows():
    scatter, out = Scatter("older blasted steel"), []
    for zone, extent, treatment, at, method in WORK:
        out.append({
            "zone": zone, "extent": extent, "treatment": treatment, "method": method, "at": dock.without_offset(clock.later(at, 0)),
            "by": dock.PAINTERS_FOREMAN,
        })
    for zone, extent, began, grade, profile, salts in BLASTS:
        for n in range(2):
            at = clock.later(began, 10 * n)
            x, y = places.reading_place(zone, extent, at, scatter)
            out.append({
                "zone": zone, "extent": extent, "treatment": "blast", "grade": grade, "profile_um": fixed(profile + scatter.bell(3.0), 0),
                "salts_mg_m2": fixed(salts + scatter.bell(3.0), 0), "method": "slag, dry", "x_m": fixed(x, 2), "y_m": fixed(y, 2),
                "at": dock.without_offset(at), "by": dock.COATING_INSPECTOR,
            })
    return sorted(out, key=lambda row: (row["at"], row["zone"]))


def painted_m2(a):
    if a.zone in zones.SIDES:
        return zones.SIDES[a.zone]
    hidden = zones.hidden_m2(a.zone, "P1")
    return (hidden if a.extent == "patches" else zones.plan_m2(a.zone) - hidden) * zones.TRUE_OVER_PLAN[a.zone]


def film_um(a):
    return PRODUCTS[SCHEMES[a.zone][a.coat - 1]].nominal_um * a.over_nominal


def coat_row(a):
    name = SCHEMES[a.zone][a.coat - 1]
    litres = painted_m2(a) * film_um(a) / (10.0 * PRODUCTS[name].volume_solids_pct) * a.loss
    return {
        "zone": a.zone, "extent": a.extent, "coat": str(a.coat), "product": name, "batch": PRODUCTS[name].batch,
        "began": dock.without_offset(clock.later(a.began, 0)), "ended": dock.without_offset(clock.later(a.ended, 0)),
        "used_l": fixed(rounded(litres, 0.5), 1), "wet_film_um": fixed(film_um(a) * 100.0 / PRODUCTS[name].volume_solids_pct // COMB_UM * COMB_UM, 0), "by": dock.PAINTERS_FOREMAN,
    }


def make():
    write_csv("coating/zones.csv", ["zone", "kind", "order", "x_m", "y_m", "true_area_m2", "lowest_z_m"], zones.rows())
    write_text("coating/products.toml", "\n".join(product_text(*entry) for entry in PRODUCTS.items()))
    columns = ["zone", "coat", "product", "nominal_dft_um", "least_dft_um", "greatest_dft_um", "grade", "greatest_salts_mg_m2"]
    write_csv("coating/scheme.csv", columns, scheme_rows())
    columns = ["zone", "extent", "treatment", "grade", "profile_um", "salts_mg_m2", "method", "x_m", "y_m", "at", "by"]
    write_csv("coating/preparation.csv", columns, preparation_rows())
    columns = ["zone", "extent", "coat", "product", "batch", "began", "ended", "used_l", "wet_film_um", "by"]
    write_csv("coating/coats.csv", columns, [coat_row(a) for a in APPLICATIONS])
