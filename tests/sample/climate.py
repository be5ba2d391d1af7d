"""coating/climate.csv: air, humidity and steel every three or four hours for three weeks, and what the hygrometer made of them.

Steel follows the air some two hours late. Clear days keep their vapour from morning to evening, so that the humidity falls as
the air warms; two spells of rain fill the air.

Faults left in on purpose: one dew point of 19 April is written two degrees low; the reading in BS on the evening of the 16th
is nearer the dew point than it should be while paint is still going on.
"""

from functools import lru_cache
from math import cos, exp, log, pi

import clock
import dock
from writing import Scatter, fixed, rounded, write_csv

# Coldest at 05:30, warmest at 14:30, degrees Celsius, by day of April.
COLDEST_WARMEST_C = {
    7: (6.2, 12.0), 8: (5.6, 12.1), 9: (6.3, 13.0), 10: (6.0, 13.2), 11: (6.4, 12.6), 12: (8.4, 10.4), 13: (8.2, 10.6), 14: (7.2, 12.2),
    15: (6.2, 12.8), 16: (6.3, 13.1), 17: (6.1, 13.6), 18: (6.6, 13.7), 19: (6.8, 13.9), 20: (6.2, 13.2), 21: (7.4, 12.6), 22: (6.9, 12.0),
    23: (6.7, 13.0), 24: (6.9, 13.4), 25: (7.2, 12.8), 26: (8.6, 10.6), 27: (7.2, 12.4), 28: (6.6, 13.0), 29: (6.5, 12.0),
}

# Dew point of the air: (day and time, degrees Celsius), straight between.
VAPOUR_C = [
    ("07 00:00", 4.4), ("08 12:00", 4.0), ("09 12:00", 4.4), ("10 12:00", 4.3), ("11 18:00", 4.3), ("12 02:00", 6.6), ("12 12:00", 8.3),
    ("13 12:00", 8.2), ("13 20:00", 7.6), ("14 06:00", 5.3), ("14 10:00", 4.4), ("15 12:00", 4.0), ("16 12:00", 4.3), ("17 12:00", 4.5),
    ("18 12:00", 4.6), ("19 12:00", 4.9), ("20 12:00", 4.4), ("21 12:00", 4.7), ("22 12:00", 5.0), ("23 04:00", 4.8), ("23 12:00", 4.3),
    ("24 12:00", 4.5), ("25 12:00", 4.4), ("25 19:00", 5.2), ("26 04:00", 7.4), ("26 12:00", 8.2), ("26 20:00", 7.6), ("27 04:00", 5.0), ("27 12:00", 4.2),
    ("28 12:00", 4.4), ("29 23:00", 4.6),
]

ROUNDS = ["02:10", "06:00", "09:45", "12:40", "15:50", "18:40", "22:20"]
FIRST, LAST = "07 18:40", "29 05:20"
STEEL_LAG_MIN = 110.0

MISWRITTEN_K = {"2031-04-19T22": -2.0}  # by day and hour

# Readings under the ship's bottom, for one zone: (zone, day and time, air, humidity, steel, note).
ZONE_READINGS = [
    ("KL", "10 10:40", 9.6, 68, 8.6, "between the keel blocks, frame 60"),
    ("KL", "14 14:50", 10.8, 64, 9.6, "between the keel blocks, frame 60"),
    ("BS", "16 19:25", 9.6, 80, 9.1, "floor hosed down forward of frame 90; steel cooling fast"),
    ("SS", "17 11:30", 11.4, 62, 10.9, "shaded by the dock wall"),
]

NOTES = {  # by day and hour
    "2031-04-12T06": "rain since 03:00",
    "2031-04-13T09": "rain, no work on the sides",
    "2031-04-14T02": "rain stopped about midnight, wind north-west",
    "2031-04-26T06": "rain",
    "2031-04-27T06": "dry since 23:00",
}


def knots():
    return [
        (clock.minutes(f"{day:02} {time}"), value) for day, pair in COLDEST_WARMEST_C.items() for time, value in zip(("05:30", "14:30"), pair)
    ]


def air_c(minute):
    points = knots()
    if minute <= points[0][0] or minute >= points[-1][0]:
        return points[0][1] if minute <= points[0][0] else points[-1][1]
    for (t0, v0), (t1, v1) in zip(points, points[1:]):
        if t0 <= minute <= t1:
            return v0 + (v1 - v0) * (1.0 - cos(pi * (minute - t0) / (t1 - t0))) / 2.0


def vapour_c(minute):
    points = [(clock.minutes(time), value) for time, value in VAPOUR_C]
    for (t0, v0), (t1, v1) in zip(points, points[1:]):
        if t0 <= minute <= t1:
            return v0 + (v1 - v0) * (minute - t0) / (t1 - t0)
    raise ValueError(minute)


@lru_cache(maxsize=None)
def steel_by_ten_minutes():
    """Steel drawn toward the air, in steps of ten minutes."""
    out, value = {}, 8.6
    for minute in range(clock.minutes("07 00:00"), clock.minutes("29 23:50"), 10):
        value += (air_c(minute) - value) * (1.0 - exp(-10.0 / STEEL_LAG_MIN))
        out[minute] = value
    return out


def steel_c(minute):
    return steel_by_ten_minutes()[minute - minute % 10]


def pressure_ratio(temperature_c):
    """Saturation over water, as a power of e."""
    return 17.62 * temperature_c / (243.12 + temperature_c)


def humidity_pct(air, dew):
    return 100.0 * exp(pressure_ratio(dew) - pressure_ratio(air))


def dew_point_c(air, humidity):
    g = log(humidity / 100.0) + pressure_ratio(air)
    return 243.12 * g / (17.62 - g)


def reading(zone, at, air, humidity, steel, scatter, note=""):
    """The hygrometer's own dew point is a tenth or so out."""
    dew = dew_point_c(air, humidity) + scatter.bell(0.06) + MISWRITTEN_K.get(at[:13], 0.0)
    by_night = at[11:13] in ("22", "02", "05", "06")
    return {
        "at": dock.without_offset(at), "zone": zone, "air_temperature_c": fixed(air, 1), "humidity_pct": fixed(humidity, 0),
        "steel_temperature_c": fixed(steel, 1), "dew_point_c": fixed(dew, 1), "by": dock.NIGHT_WATCH if by_night else dock.COATING_INSPECTOR,
        "note": note,
    }


def rounds():
    """Every round of the three weeks, a few minutes late or early, as rounds are."""
    scatter, first, last = Scatter("rounds of the instruments"), clock.minutes(FIRST), clock.minutes(LAST)
    due = [clock.minutes(f"{day:02} {time}") for day in range(7, 30) for time in ROUNDS]
    return [first] + [minute + round(scatter.within(8.0)) for minute in due if first < minute < last - 60] + [last]


def general(minute, scatter):
    air = rounded(air_c(minute) + scatter.bell(0.15), 0.1)
    steel = rounded(steel_c(minute) + scatter.bell(0.12), 0.1)
    humidity = rounded(humidity_pct(air, vapour_c(minute) + scatter.bell(0.15)), 1.0)
    return reading("", clock.written(minute), air, min(humidity, 92.0), steel, scatter, NOTES.get(clock.written(minute)[:13], ""))


def rows():
    scatter = Scatter("climate")
    out = [general(minute, scatter) for minute in rounds()]
    scatter = Scatter("climate in one zone")
    out += [reading(zone, clock.later(time, 0), air, humidity, steel, scatter, note) for zone, time, air, humidity, steel, note in ZONE_READINGS]
    return sorted(out, key=lambda row: (row["at"], row["zone"]))


def make():
    columns = ["at", "zone", "air_temperature_c", "humidity_pct", "steel_temperature_c", "dew_point_c", "by", "note"]
    write_csv("coating/climate.csv", columns, rows())
