"""positions/positions.csv and positions/marks.csv: where she was to lie, where she lay, and the sightings.

Fault left in on purpose: one sighting of P2 was misread.
"""

from collections import namedtuple
from math import cos, radians, sin

import dock
import hull
from writing import Scatter, fixed, write_csv

# `reads` says which of the dock's two axes the mark was read in: "station", "offset" or both.
Mark = namedtuple("Mark", "name x_m y_m reads minutes_after_landing note")

MARKS = [
    Mark("M1", 0.0, 0.0, "station offset", 34, "plumb line from the stern reference point"),
    Mark("M2", hull.FOREMOST_X_M, 0.0, "station offset", 41, "plumb line from the stem head"),
    Mark("M3", hull.frame_x_m(62), 7.28, "station", 52, "punch mark, frame 62 port"),
    Mark("M4", hull.frame_x_m(62), -7.28, "station", 58, "punch mark, frame 62 starboard"),
    Mark("M5", hull.frame_x_m(100), 7.16, "station", 66, "punch mark, frame 100 port"),
    Mark("M6", hull.frame_x_m(30), 0.0, "offset", 310, "keel centre punch, frame 30"),
    Mark("M7", hull.frame_x_m(130), 0.0, "offset", 322, "keel centre punch, frame 130"),
    Mark("M8", hull.frame_x_m(85), -7.30, "station offset", 73, "punch mark, frame 85 starboard"),
]

MISREAD_STATION_M = {("P2", "M5"): 0.020}


def dock_place(position, x_m, y_m):
    """Where a point of the hull lies in the dock: turned by yaw about the stern reference point, then moved."""
    place, yaw = position.true, radians(position.true.yaw_deg)
    return place.srp_station_m + x_m * cos(yaw) - y_m * sin(yaw), place.offset_m + x_m * sin(yaw) + y_m * cos(yaw)


def minutes_later(time, minutes):
    """`2031-04-07T12:31` and some minutes, on the same day."""
    day, clock = time.split("T")
    hours, mins = clock.split(":")
    total = int(hours) * 60 + int(mins) + minutes
    return f"{day}T{total // 60:02}:{total % 60:02}"


def sighting(position, mark, scatter):
    station_m, offset_m = dock_place(position, mark.x_m, mark.y_m)
    station_m += scatter.bell(0.0025) + MISREAD_STATION_M.get((position.name, mark.name), 0.0)
    offset_m += scatter.bell(0.0025)
    return {
        "position": position.name, "mark": mark.name, "hull_x_m": fixed(mark.x_m, 3), "hull_y_m": fixed(mark.y_m, 3),
        "dock_station_m": fixed(station_m, 3) if "station" in mark.reads else "",
        "dock_offset_m": fixed(offset_m, 3) if "offset" in mark.reads else "",
        "read_by": dock.NAVAL_ARCHITECT if "offset" in mark.reads else dock.BLOCK_FOREMAN,
        "at": dock.with_offset(minutes_later(position.times.landed, mark.minutes_after_landing)), "note": mark.note,
    }


def sightings(position):
    scatter = Scatter("sightings " + position.name)
    return [sighting(position, mark, scatter) for mark in MARKS]


# Which position of the docking plan each is.
FROM_PLAN = {"P1": "1", "P2": "2"}

PLANNED = ("landed", "dry", "reflood", "afloat")


def position_row(position):
    planned, recorded = position.planned, position.recorded
    return {
        "position": position.name,
        "planned_srp_station_m": fixed(planned.srp_station_m, 2), "planned_offset_m": fixed(planned.offset_m, 3),
        "recorded_srp_station_m": fixed(recorded.srp_station_m, 2), "recorded_offset_m": fixed(recorded.offset_m, 3),
        "yaw_deg": fixed(recorded.yaw_deg, 2),
        **{name: dock.with_offset(time) for name, time in position.times._asdict().items()},
    }


def planned_row(position):
    times = zip(PLANNED, dock.PLANNED_TIMES[position.name])
    return {
        "from_plan": FROM_PLAN[position.name],
        **{f"planned_{name}": dock.with_offset(time) for name, time in times},
    }


def make():
    rows = [position_row(position) | planned_row(position) for position in dock.POSITIONS]
    write_csv("positions/positions.csv", list(rows[0]), rows)
    columns = ["position", "mark", "hull_x_m", "hull_y_m", "dock_station_m", "dock_offset_m", "read_by", "at", "note"]
    write_csv("positions/marks.csv", columns, [row for position in dock.POSITIONS for row in sightings(position)])
