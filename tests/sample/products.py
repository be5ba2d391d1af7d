"""coating/products.toml: the paints, their recoat tables, and the batches that came to the dock. No maker's, all invented."""

from collections import namedtuple

from writing import write_text

Product = namedtuple("Product", "name generic_type volume_solids_pct nominal_um immersion_h shelf_life_d limits")
Batch = namedtuple("Batch", "name product made")

EPOXY = "lowest_steel_c = 0\nhighest_steel_c = 40\npot_life_h = 2\ninduction_min = 10\n"
ANTIFOULING = "latest_immersion_d = 60\n"
FINISH = 'lowest_air_c = 2\nhighest_air_c = 35\nthinner = "TH2"\ngreatest_thinner_pct = 5\n'

PRODUCTS = [
    Product("EP1", "two-pack epoxy anticorrosive, aluminium grey", 72, 125, 96, 730, EPOXY),
    Product("EP2", "two-pack epoxy anticorrosive, red-brown", 72, 125, 96, 730, EPOXY),
    Product("TC3", "two-pack epoxy tie coat, buff", 60, 75, 48, 540, ""),
    Product("AF4", "self-polishing antifouling, free of tin, dark red", 54, 100, 12, 365, ANTIFOULING),
    Product("FN5", "two-pack acrylic polyurethane side finish, black", 57, 100, 24, 540, FINISH),
]

# Degrees of the steel: (temperature, least hours, greatest days or None for no greatest), coldest first.
TABLES = {
    ("EP1", ""): [(0, 30, 28), (5, 16, 21), (10, 10, 14), (15, 7, 7)],
    ("EP2", ""): [(0, 30, 28), (5, 16, 21), (10, 10, 14), (15, 7, 7)],
    ("EP2", "TC3"): [(0, 24, 4), (5, 16, 3), (10, 10, 2.5), (15, 7, 2)],  # the tie coat must bite while the epoxy is young
    ("TC3", "AF4"): [(0, 16, 7), (5, 10, 6), (10, 8, 5), (15, 6, 4)],
    ("AF4", ""): [(0, 14, None), (5, 10, None), (15, 6, None)],
    ("FN5", ""): [(0, 36, 10), (5, 24, 7), (15, 12, 4)],
}

BATCHES = [
    Batch("EP1-0917", "EP1", "2030-09-17"), Batch("EP1-1104", "EP1", "2030-11-04"),
    Batch("EP2-1008", "EP2", "2030-10-08"), Batch("EP2-0121", "EP2", "2031-01-21"),
    Batch("TC3-1112", "TC3", "2030-11-12"),
    Batch("AF4-0408", "AF4", "2030-04-08"), Batch("AF4-0205", "AF4", "2031-02-05"), Batch("AF4-0211", "AF4", "2031-02-11"),
    Batch("FN5-0114", "FN5", "2031-01-14"), Batch("FN5-0115", "FN5", "2031-01-15"),
]


def named(name):
    return next(p for p in PRODUCTS if p.name == name)


def product_text(product):
    return f"""[[product]]
product = "{product.name}"
generic_type = "{product.generic_type}"
volume_solids_pct = {product.volume_solids_pct}
nominal_dft_um = {product.nominal_um}
least_to_immersion_h = {product.immersion_h}
shelf_life_d = {product.shelf_life_d}
{product.limits}"""


def greatest_text(days):
    if days is None:
        return 'greatest_d = "none"'
    return f"greatest_d = {days}" if days >= 5 else f"greatest_h = {days * 24:g}"


def recoat_text(product, by, temperature, least_h, greatest_d):
    over = f'by = "{by}"\n' if by else ""
    return f"""[[recoat]]
product = "{product}"
steel_temperature_c = {temperature}
least_h = {least_h}
{greatest_text(greatest_d)}
{over}"""


def batch_text(batch):
    return f'[[batch]]\nbatch = "{batch.name}"\nproduct = "{batch.product}"\nmade = {batch.made}\n'


def make():
    parts = [product_text(product) for product in PRODUCTS]
    parts += [recoat_text(*key, *row) for key, table in TABLES.items() for row in table]
    parts += [batch_text(batch) for batch in BATCHES]
    write_text("coating/products.toml", "\n".join(parts))
