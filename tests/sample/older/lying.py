"""positions/positions.csv and positions/marks.csv: where she was to lie, where she lay, and five sightings of each position."""

import dock
import positions
from writing import Scatter, fixed, write_csv

MARKS = ["M1", "M2", "M3", "M4", "M8"]


def sighting(position, mark, scatter):
    station_m, offset_m = positions.dock_place(position, mark.x_m, mark.y_m)
    station_m, offset_m = station_m + scatter.bell(0.003), offset_m + scatter.bell(0.003)
    return {
        "position": position.name, "mark": mark.name, "hull_x_m": fixed(mark.x_m, 3), "hull_y_m": fixed(mark.y_m, 3),
        "dock_station_m": fixed(station_m, 3) if "station" in mark.reads else "",
        "dock_offset_m": fixed(offset_m, 3) if "offset" in mark.reads else "",
        "read_by": dock.NAVAL_ARCHITECT, "at": dock.with_offset(positions.minutes_later(position.times.landed, mark.minutes_after_landing)),
    }


def sightings(position):
    scatter = Scatter("older sightings " + position.name)
    return [sighting(position, mark, scatter) for mark in positions.MARKS if mark.name in MARKS]


def make():
    rows = [positions.position_row(position) for position in dock.POSITIONS]
    write_csv("positions/positions.csv", list(rows[0]), rows)
    columns = ["position", "mark", "hull_x_m", "hull_y_m", "dock_station_m", "dock_offset_m", "read_by", "at"]
    write_csv("positions/marks.csv", columns, [row for position in dock.POSITIONS for row in sightings(position)])
