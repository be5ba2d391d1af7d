"""coating/preparation.csv: washing, blasting and what the steel was like before the first coat; in both positions."""

from collections import namedtuple

import clock
import dock
import places
from writing import Scatter, fixed, rounded, write_csv

# Work without readings: zone, extent, treatment, when, method.
Work = namedtuple("Work", "zone extent treatment at method")
WORK = [
    Work("KL", "exposed", "wash", "08 10:30", "fresh water, 350 bar, scrapers for weed and mussels"),
    Work("BP", "exposed", "wash", "08 16:40", "fresh water, 350 bar"),
    Work("BS", "exposed", "wash", "09 11:20", "fresh water, 350 bar"),
    Work("SP", "all", "wash", "09 15:10", "fresh water, 350 bar"),
    Work("SS", "all", "wash", "09 17:45", "fresh water, 350 bar"),
    Work("KL", "exposed", "wash", "22 20:30", "fresh water, 200 bar, old paint and new alike"),
    Work("BP", "exposed", "wash", "22 21:15", "fresh water, 200 bar"),
    Work("BS", "exposed", "wash", "22 22:00", "fresh water, 200 bar"),
    Work("KL", "patches", "abrade", "23 08:10", "edges feathered by disc"),
    Work("BP", "patches", "abrade", "23 08:40", "edges feathered by disc"),
    Work("BS", "patches", "abrade", "23 09:10", "edges feathered by disc"),
]

# Readings after blasting: one after another from `began`, so many minutes apart; typical grade, profile, salts and dust.
Blast = namedtuple("Blast", "zone extent began apart count grade profile_um salts dust method")
BLASTS = [
    Blast("KL", "exposed", "10 08:20", 12, 6, "Sa2.5", 68, 24, 1, "copper slag, dry"),
    Blast("BP", "exposed", "10 10:50", 12, 8, "Sa2.5", 70, 20, 1, "copper slag, dry"),
    Blast("SP", "all", "11 08:10", 12, 6, "Sa2", 60, 22, 2, "copper slag, dry"),
    Blast("BS", "exposed", "11 09:25", 10, 8, "Sa2.5", 71, 21, 1, "copper slag, dry"),
    Blast("SS", "all", "17 08:05", 12, 6, "Sa2", 58, 23, 2, "copper slag, dry"),
    Blast("KL", "patches", "23 10:30", 9, 8, "Sa2.5", 66, 28, 1, "vacuum blasting, steel grit"),
    Blast("BP", "patches", "23 12:10", 9, 5, "Sa2.5", 67, 26, 1, "vacuum blasting, steel grit"),
    Blast("BS", "patches", "23 13:20", 9, 5, "Sa2.5", 66, 27, 1, "vacuum blasting, steel grit"),
]

COLUMNS = [
    "zone", "extent", "treatment", "grade", "profile_um", "salts_mg_m2", "dust", "method", "x_m", "y_m", "at", "by",
]


def work_row(work):
    return {
        "zone": work.zone, "extent": work.extent, "treatment": work.treatment, "method": work.method,
        "at": dock.without_offset(clock.later(work.at, 0)), "by": dock.PAINTERS_FOREMAN,
    }


def blast_rows(blast):
    scatter = Scatter(f"blasted steel {blast.zone} {blast.began}")
    out = []
    for n in range(blast.count):
        at = clock.later(blast.began, n * blast.apart)
        x, y = places.reading_place(blast.zone, blast.extent, at, scatter)
        out.append({
            "zone": blast.zone, "extent": blast.extent, "treatment": "blast", "grade": blast.grade,
            "profile_um": fixed(rounded(blast.profile_um + scatter.bell(4.0), 1.0), 0),
            "salts_mg_m2": fixed(rounded(blast.salts + scatter.bell(5.0), 1.0), 0),
            "dust": str(max(0, min(blast.dust, blast.dust - (n % 3 == 2)))), "method": blast.method, "x_m": fixed(x, 2), "y_m": fixed(y, 2),
            "at": dock.without_offset(at), "by": dock.COATING_INSPECTOR,
        })
    return out


def make():
    rows = [work_row(work) for work in WORK] + [row for blast in BLASTS for row in blast_rows(blast)]
    write_csv("coating/preparation.csv", COLUMNS, sorted(rows, key=lambda row: (row["at"], row["zone"])))
