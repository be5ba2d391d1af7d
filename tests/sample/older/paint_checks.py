"""coating/climate.csv, film.csv and gauges.csv: the inspector's rounds on painting days, and the film after the last coat."""

import clock
import dock
import paint
import places
from writing import Scatter, fixed, rounded, write_csv

# Air in the morning and after noon, humidity in the morning, by day of September.
AIR_C = {
    "09": (12.5, 17.5, 74), "10": (12.0, 18.0, 72), "11": (13.0, 18.5, 73), "12": (13.5, 17.5, 75), "14": (12.0, 17.0, 71),
    "15": (11.5, 17.0, 72), "17": (12.0, 16.5, 74), "18": (11.5, 16.0, 73), "19": (11.0, 16.5, 72),
}
# Time, part of the way from morning to noon, steel less air, humidity less that of the morning.
ROUNDS = [("08:30", 0.0, 1.0, 0), ("11:50", 0.6, 0.5, -9), ("15:20", 1.0, 0.2, -15), ("18:40", 0.5, 1.0, -6)]

GAUGE, PROFILE_UM, FOIL_UM = "FG1", 18, 250
SPOTS, READINGS = 4, 3
# Zone, extent, last coat, when.
FILM = [
    ("KL", "exposed", 3, "15 16:10"), ("BP", "exposed", 3, "15 16:30"), ("BS", "exposed", 3, "15 16:50"),
    ("SP", "all", 2, "17 16:00"), ("SS", "all", 2, "17 16:20"), ("KL", "patches", 3, "21 09:00"),
]
GAUGE_DAYS = ["15", "17", "21"]


def climate_rows():
    scatter, out = Scatter("older climate"), []
    for day, (low, high, humidity) in AIR_C.items():
        for time, part, warmer, drier in ROUNDS:
            air = rounded(low + part * (high - low) + scatter.bell(0.2), 0.5)
            out.append({
                "at": dock.without_offset(clock.later(f"{day} {time}", 0)), "air_temperature_c": fixed(air, 1),
                "humidity_pct": fixed(humidity + drier + scatter.bell(1.0), 0), "steel_temperature_c": fixed(air + warmer, 1),
                "by": dock.COATING_INSPECTOR,
            })
    return out


def film_rows():
    out = []
    for zone, extent, coat, began in FILM:
        scatter = Scatter(f"older film {zone} {extent}")
        total = sum(paint.film_um(a) for a in paint.APPLICATIONS if (a.zone, a.extent) == (zone, extent))
        for n in range(SPOTS):
            at = clock.later(began, 3 * n)
            x, y = places.reading_place(zone, extent, at, scatter)
            for _ in range(READINGS):
                out.append({
                    "zone": zone, "after_coat": str(coat), "spot": f"{zone}-{n + 1}{'P' if extent == 'patches' else ''}",
                    "reading_um": fixed(rounded(total * (1.0 + scatter.bell(0.035)) + PROFILE_UM, 5.0), 0), "x_m": fixed(x, 2), "y_m": fixed(y, 2),
                    "gauge": GAUGE, "at": dock.without_offset(at), "by": dock.COATING_INSPECTOR,
                })
    return out


def gauge_rows():
    return [
        {
            "gauge": GAUGE, "reference_um": str(FOIL_UM), "reading_um": str(FOIL_UM + more), "profile_correction_um": str(PROFILE_UM),
            "at": dock.without_offset(clock.later(f"{day} 08:00", 0)), "by": dock.COATING_INSPECTOR,
        }
        for day, more in zip(GAUGE_DAYS, (2, -1, 1))
    ]


def make():
    write_csv("coating/climate.csv", ["at", "air_temperature_c", "humidity_pct", "steel_temperature_c", "by"], climate_rows())
    write_csv("coating/film.csv", ["zone", "after_coat", "spot", "reading_um", "x_m", "y_m", "gauge", "at", "by"], film_rows())
    write_csv("coating/gauges.csv", ["gauge", "reference_um", "reading_um", "profile_correction_um", "at", "by"], gauge_rows())
