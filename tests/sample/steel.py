"""Where steel is free in a position and where it lies under a cap, for whoever takes readings; by the recorded positions."""

from functools import lru_cache
from math import cos, radians, sin

import blocks
import clock
import dock


@lru_cache(maxsize=None)
def caps(position_name):
    """(block, station, offset, half length, half width, skew in radians) of every cap that stands in the position."""
    out = []
    for row in blocks.keel_row() + blocks.bilge_rows():
        if not row.get("positions") or position_name in row["positions"].split(";"):
            out.append((
                row["block"], float(row["station_m"]), float(row["offset_m"]), int(row["length_mm"]) / 2000.0,
                int(row["width_mm"]) / 2000.0, radians(float(row["skew_deg"])),
            ))
    return out


def position_named(name):
    return next(p for p in dock.POSITIONS if p.name == name)


def block_over(position_name, x_m, y_m, margin_m=0.0):
    """The block whose cap, made larger all round by the margin, lies under this point of the hull; None where free."""
    place = position_named(position_name).recorded
    yaw = radians(place.yaw_deg)
    station = place.srp_station_m + x_m * cos(yaw) - y_m * sin(yaw)
    offset = place.offset_m + x_m * sin(yaw) + y_m * cos(yaw)
    for block, s, o, half_length, half_width, skew in caps(position_name):
        along, across = station - s, offset - o
        u, v = along * cos(skew) + across * sin(skew), across * cos(skew) - along * sin(skew)
        if abs(u) <= half_length + margin_m and abs(v) <= half_width + margin_m:
            return block
    return None


def points_under(position_name, per_side=20):
    """(x, y, share of a square metre) of a fine grid over each cap."""
    place = position_named(position_name).recorded
    yaw = radians(place.yaw_deg)
    out = []
    for _, s, o, half_length, half_width, skew in caps(position_name):
        share = 4.0 * half_length * half_width / per_side**2
        for i in range(per_side):
            for j in range(per_side):
                u, v = half_length * ((2 * i + 1) / per_side - 1.0), half_width * ((2 * j + 1) / per_side - 1.0)
                along = s + u * cos(skew) - v * sin(skew) - place.srp_station_m
                across = o + u * sin(skew) + v * cos(skew) - place.offset_m
                out.append((along * cos(yaw) + across * sin(yaw), across * cos(yaw) - along * sin(yaw), share))
    return out


def dry_in(day_and_time):
    """The position whose dry spell holds the time."""
    minute = clock.minutes(day_and_time)
    for position in dock.POSITIONS:
        if clock.minutes(position.times.dry) <= minute <= clock.minutes(position.times.reflood_began):
            return position.name
    raise ValueError(f"not dry: {day_and_time}")
