"""coating/film.csv: dry film readings, three to a spot, each the total of the coats then on and the profile under them.

Fault left in on purpose: one reading's x has its figures changed over, so that it lies under a keel block.
"""

from collections import namedtuple

import clock
import coats
import dock
import gauges
import places
import steel
import zones
from writing import Scatter, fixed, rounded, write_csv

READINGS_PER_SPOT = 3
SPOT_SPREAD, READING_SPREAD = 0.042, 0.026  # of the film: from spot to spot, and within one
MINUTES_PER_SPOT = 2

# Spots of a zone after a coat, one after another from `began`; as many at the least as the zone's rule owes for its size.
Round = namedtuple("Round", "zone extent coat spots gauge began")

ROUNDS = [
    Round("KL", "exposed", 1, 10, "DF1", "11 08:20"), Round("BP", "exposed", 1, 17, "DF1", "11 13:00"),
    Round("BS", "exposed", 1, 25, "DF2", "12 08:30"), Round("SP", "all", 1, 24, "DF2", "12 10:00"),
    Round("KL", "exposed", 2, 32, "DF1", "15 08:15"), Round("SP", "all", 2, 44, "DF2", "15 10:00"),
    Round("KL", "exposed", 3, 10, "DF1", "16 07:55"), Round("BP", "exposed", 2, 46, "DF1", "16 08:20"),
    Round("BS", "exposed", 2, 40, "DF2", "16 12:40"),
    Round("BP", "exposed", 3, 17, "DF1", "17 08:05"), Round("BS", "exposed", 3, 25, "DF2", "17 08:40"),
    Round("KL", "exposed", 4, 34, "DF1", "17 11:00"),
    Round("SS", "all", 1, 29, "DF2", "18 08:10"), Round("BP", "exposed", 4, 48, "DF1", "18 09:10"),
    Round("SS", "all", 2, 46, "DF2", "19 08:00"), Round("BS", "exposed", 4, 40, "DF2", "19 10:00"),
    Round("BP", zones.ROUND_SC1.name, 4, 4, "DF1", "20 09:00"), Round("SP", "all", 3, 50, "DF2", "20 09:20"),
    Round("SS", "all", 3, 50, "DF2", "21 08:30"),
    Round("KL", "patches", 2, 12, "DF1", "25 08:20"), Round("BP", "patches", 2, 6, "DF1", "25 08:50"),
    Round("BS", "patches", 2, 5, "DF2", "25 09:10"),
    Round("KL", "patches", 4, 14, "DF1", "28 08:20"), Round("BS", "patches", 4, 5, "DF2", "28 09:00"),
    Round("BP", "patches", 4, 6, "DF1", "28 17:30"),
]

MISWRITTEN_SPOT = ("KL", 2, 1)  # zone, coat, and which of the readings that can be miswritten so

COLUMNS = ["zone", "after_coat", "area", "spot", "reading_um", "x_m", "y_m", "gauge", "at", "by"]


def total_um(reading_round):
    """The film on the steel of a round: its own coats up to that one, or the surrounding coats and the extra one on a drawn area."""
    area = reading_round.extent == zones.ROUND_SC1.name
    extents = ("exposed", zones.ROUND_SC1.name) if area else (reading_round.extent,)
    return sum(
        a.dft_um for a in coats.APPLICATIONS
        if a.zone == reading_round.zone and a.extent in extents and a.coat <= reading_round.coat
    )


def check_after_coats(reading_round):
    last = [a for a in coats.APPLICATIONS if a.zone == reading_round.zone and a.extent == reading_round.extent and a.coat == reading_round.coat]
    assert all(clock.minutes(a.ended) < clock.minutes(reading_round.began) for a in last), reading_round


def spot_rows(reading_round, first_spot):
    check_after_coats(reading_round)
    zone, coat, total = reading_round.zone, reading_round.coat, total_um(reading_round)
    scatter = Scatter(f"film {zone} {reading_round.extent} {coat}")
    out = []
    for n in range(reading_round.spots):
        at = clock.later(reading_round.began, n * MINUTES_PER_SPOT)
        x, y = places.reading_place(zone, reading_round.extent, at, scatter)
        here = total * (1.0 + scatter.bell(SPOT_SPREAD))
        for _ in range(READINGS_PER_SPOT):
            reading = here * (1.0 + scatter.bell(READING_SPREAD)) + gauges.PROFILE_CORRECTION_UM[reading_round.gauge]
            out.append({
                "zone": zone, "after_coat": str(coat), "area": zones.ROUND_SC1.name if reading_round.extent == zones.ROUND_SC1.name else "",
                "spot": f"{zone}{coat}-{first_spot + n:02}", "reading_um": fixed(rounded(reading, 1.0), 0), "x_m": fixed(x, 2), "y_m": fixed(y, 2),
                "gauge": reading_round.gauge, "at": dock.without_offset(at), "by": dock.COATING_INSPECTOR,
            })
    return out


def changed_over(text):
    """`45.31` as `54.31`: the two figures before the point."""
    return text[1] + text[0] + text[2:] if len(text.split(".")[0]) == 2 else text


def miswrite(rows):
    """Change over the figures of the one reading."""
    zone, coat, which = MISWRITTEN_SPOT
    found = [
        row for row in rows
        if row["zone"] == zone and row["after_coat"] == str(coat) and row["x_m"] != changed_over(row["x_m"])
        and steel.block_over(steel.dry_in(row["at"][:16]), float(changed_over(row["x_m"])), float(row["y_m"]), -0.08)
    ]
    found[which]["x_m"] = changed_over(found[which]["x_m"])


def rows():
    out, spots = [], {}
    for reading_round in ROUNDS:
        key = reading_round.zone, reading_round.coat
        out += spot_rows(reading_round, spots.get(key, 0) + 1)
        spots[key] = spots.get(key, 0) + reading_round.spots
    miswrite(out)
    return out


def make():
    write_csv("coating/film.csv", COLUMNS, rows())
