"""coating/coats.csv: every application of paint.

Each log line says what a crew of painters put where; `dft_um` is what truly went on, on average, and `loss` the litres used over
the litres on the steel.

Faults left in on purpose: the tie coat of the patches in BP came too late on the coat under it; the antifouling of BS was past its shelf life; coat 2 of SP came out thin.
"""

from collections import namedtuple

import clock
import dock
import products
import scheme
import zones
from writing import Scatter, fixed, rounded, write_csv

Application = namedtuple("Application", "zone extent coat batch began ended dft_um loss note")


def coat(zone, extent, number, batch, day, began, ended, dft_um, loss, note=""):
    return Application(zone, extent, number, batch, f"{day} {began}", f"{day} {ended}", dft_um, loss, note)


APPLICATIONS = [
    coat("KL", "exposed", 1, "EP1-0917", "10", "10:50", "13:05", 138, 1.20),
    coat("BP", "exposed", 1, "EP1-0917", "10", "13:15", "17:40", 138, 1.15),
    coat("SP", "all", 1, "EP1-0917", "11", "10:10", "15:50", 137, 1.20),
    coat("BS", "exposed", 1, "EP1-1104", "11", "11:00", "15:30", 139, 1.14),
    coat("SP", "all", 2, "EP2-1008", "14", "13:20", "18:10", 111, 1.16, "wrong tip found in the gun at 16:00"),
    coat("KL", "exposed", 2, "EP2-1008", "14", "14:20", "16:30", 135, 1.21),
    coat("KL", "exposed", 3, "TC3-1112", "15", "10:10", "12:20", 83, 1.22),
    coat("BP", "exposed", 2, "EP2-1008", "15", "10:30", "14:45", 135, 1.15),
    coat("BS", "exposed", 2, "EP2-1008", "15", "15:00", "18:50", 134, 1.16),
    coat("KL", "exposed", 4, "AF4-0205", "16", "10:20", "12:30", 110, 1.19),
    coat("BP", "exposed", 3, "TC3-1112", "16", "11:05", "15:10", 83, 1.16),
    coat("BS", "exposed", 3, "TC3-1112", "16", "15:30", "19:40", 82, 1.17, "second pump late, finished by floodlight"),
    coat("SS", "all", 1, "EP1-1104", "17", "10:05", "15:20", 137, 1.19),
    coat("BP", "exposed", 4, "AF4-0205", "17", "10:40", "15:05", 110, 1.14),
    coat("BS", "exposed", 4, "AF4-0408", "18", "10:30", "14:55", 111, 1.15),
    coat("SS", "all", 2, "EP2-0121", "18", "12:10", "17:15", 137, 1.18),
    coat("BP", zones.ROUND_SC1.name, 4, "AF4-0211", "19", "10:15", "11:00", 105, 1.24, "round the grid, by roller"),
    coat("SP", "all", 3, "FN5-0114", "19", "10:30", "15:45", 123, 1.16, "put on heavy, coat 2 being thin"),
    coat("SS", "all", 3, "FN5-0115", "20", "10:20", "15:40", 110, 1.18),
    coat("KL", "patches", 1, "EP1-1104", "23", "13:15", "15:40", 138, 1.23, "sprayed, edges by brush"),
    coat("BP", "patches", 1, "EP1-1104", "23", "14:00", "16:20", 137, 1.26),
    coat("BS", "patches", 1, "EP1-1104", "23", "15:10", "17:30", 138, 1.26),
    coat("KL", "patches", 2, "EP2-0121", "24", "10:30", "12:40", 134, 1.22),
    coat("BP", "patches", 2, "EP2-0121", "24", "11:10", "13:20", 134, 1.25),
    coat("BS", "patches", 2, "EP2-0121", "24", "13:00", "15:10", 135, 1.25),
    coat("KL", "patches", 3, "TC3-1112", "25", "10:40", "12:50", 82, 1.22),
    coat("BS", "patches", 3, "TC3-1112", "25", "12:15", "14:20", 82, 1.24),
    coat("BP", "patches", 3, "TC3-1112", "27", "10:20", "12:25", 82, 1.25, "pump broke down on the 25th, rain on the 26th"),
    coat("KL", "patches", 4, "AF4-0211", "27", "13:00", "15:15", 111, 1.22),
    coat("BS", "patches", 4, "AF4-0211", "27", "14:10", "16:20", 110, 1.24),
    coat("BP", "patches", 4, "AF4-0211", "28", "10:15", "12:20", 110, 1.25),
]

# Steel on which the plan counts, C.
COLDEST_C, WARMEST_C = "6", "14"

# Patches were planned a day earlier than the dock allowed, and the tie coat of BP two days earlier than it went on.
EARLIER_DAYS = {"patches": 1}
PLANNED_OTHERWISE = {
    ("BP", "patches", 3): ("2031-04-24T14:00", "2031-04-24T17:00"),
    ("BP", "patches", 4): ("2031-04-26T10:00", "2031-04-26T13:00"),
}
NOT_PLANNED = {("BP", zones.ROUND_SC1.name, 4)}


def planned(application):
    """When it was planned: to the whole hour, and for the patches as much earlier as the shift was planned earlier."""
    key = (application.zone, application.extent, application.coat)
    if key in NOT_PLANNED:
        return "", ""
    if key in PLANNED_OTHERWISE:
        return PLANNED_OTHERWISE[key]
    def at(time, round_up):
        day, clock_time = time.split(" ")
        hour, minute = map(int, clock_time.split(":"))
        return f"2031-04-{int(day) - EARLIER_DAYS.get(application.extent, 0):02}T{hour + (round_up and minute > 0):02}:00"
    return at(application.began, False), at(application.ended, True)


COMB_UM = 10.0  # between the teeth of the wet film comb: the last tooth wetted is the reading

COLUMNS = ["zone", "extent", "coat", "product", "batch", "began", "ended", "used_l", "wet_film_um", "by", "note", "planned_start", "planned_finish", "coldest_steel_c", "warmest_steel_c", "mixed", "used_up", "thinner", "thinner_share_pct"]


def product_of(application):
    return next(b.product for b in products.BATCHES if b.name == application.batch)


def painted_m2(application):
    """True area painted, near enough."""
    zone = application.zone
    if zone in zones.SIDES:
        return zones.SIDES[zone]
    if application.extent == zones.ROUND_SC1.name:
        plan = zones.area_m2(zones.ROUND_SC1)
    elif application.extent == "patches":
        plan = zones.hidden_m2(zone, "P1")
    else:
        plan = zones.plan_m2(zone) - zones.hidden_m2(zone, "P1")
    return plan * zones.TRUE_OVER_PLAN[zone]


# Minutes: mixed before the start, and used up after mixing.
MIXED_BEFORE, STOOD = 20, 95
THINNED = {"FN5": ("TH2", "3")}


def mixing(application, product):
    """What the painters' mixing log says: of the two-pack epoxies the first mix, of the finish its thinner."""
    thinner, share = THINNED.get(product.name, ("", ""))
    cells = {"thinner": thinner, "thinner_share_pct": share, "mixed": "", "used_up": ""}
    if product.name in ("EP1", "EP2"):
        began = dock.without_offset(clock.later(application.began, -MIXED_BEFORE))
        cells |= {"mixed": began, "used_up": dock.without_offset(clock.later(application.began, STOOD - MIXED_BEFORE))}
    return cells


def row(application, scatter):
    product = products.named(product_of(application))
    assert product.name == scheme.coat(application.zone, application.coat).product
    litres = painted_m2(application) * application.dft_um / (10.0 * product.volume_solids_pct) * application.loss
    wet = application.dft_um * 100.0 / product.volume_solids_pct * (1.0 + scatter.bell(0.012))
    start, finish = planned(application)
    return mixing(application, product) | {
        "planned_start": dock.without_offset(start) if start else "", "planned_finish": dock.without_offset(finish) if finish else "",
        "coldest_steel_c": COLDEST_C if start else "", "warmest_steel_c": WARMEST_C if start else "",
        "zone": application.zone, "extent": application.extent, "coat": str(application.coat), "product": product.name,
        "batch": application.batch, "began": dock.without_offset(clock.later(application.began, 0)),
        "ended": dock.without_offset(clock.later(application.ended, 0)), "used_l": fixed(rounded(litres, 0.5 if litres > 5 else 0.1), 1),
        "wet_film_um": fixed(wet // COMB_UM * COMB_UM, 0), "by": dock.PAINTERS_FOREMAN, "note": application.note,
    }


def make():
    scatter = Scatter("wet film")
    write_csv("coating/coats.csv", COLUMNS, [row(application, scatter) for application in APPLICATIONS])
