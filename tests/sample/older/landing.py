"""landing/drafts.csv, water.csv, checks.csv and gaps.csv: how she came, landed, lay and left."""

import dock
import drafts
import floating
import girder
import moved
import water
from drafts import Occasion, minutes_after
from writing import Scatter, fixed, rounded, write_csv

P1, P2 = dock.POSITIONS
DENSITY_T_M3 = 1.020

OCCASIONS = [
    Occasion("", "arrival", "2006-09-07T08:10", range(6), DENSITY_T_M3, True, dock.NAVAL_ARCHITECT, ""),
    Occasion("P1", "before-landing", "2006-09-07T10:40", range(6), DENSITY_T_M3, True, dock.NAVAL_ARCHITECT, ""),
    Occasion("P1", "lift-off", "2006-09-16T09:25", range(6), DENSITY_T_M3, True, dock.NAVAL_ARCHITECT, ""),
    Occasion("P2", "before-landing", "2006-09-16T11:20", range(6), DENSITY_T_M3, True, dock.NAVAL_ARCHITECT, ""),
    Occasion("P2", "lift-off", "2006-09-22T08:45", range(6), DENSITY_T_M3, True, dock.NAVAL_ARCHITECT, ""),
    Occasion("", "departure", "2006-09-22T11:30", range(6), DENSITY_T_M3, True, dock.DOCKMASTER, ""),
]


def draft_rows(occasion):
    scatter = Scatter(f"older marks {occasion.position} {occasion.name}")
    she = drafts.condition(occasion)
    lies = floating.float_at(she, occasion.density)
    marks = [(x, side * half) for _, x, half in drafts.MARKS for side in (1, -1)]
    return [
        {
            "position": occasion.position, "occasion": occasion.name, "mark_x_m": fixed(x, 2), "mark_y_m": fixed(y, 2),
            "draft_m": fixed(rounded(floating.draft_at_m(lies, x, y, she.list_deg) + scatter.bell(0.005), 0.01), 2),
            "water_density_kg_m3": fixed(occasion.density * 1000.0, 0), "at": dock.with_offset(minutes_after(occasion.began, minute)),
            "by": occasion.by,
        }
        for minute, (x, y) in zip(occasion.minutes, marks)
    ]


def spells():
    """(position, [(time, level)], {time: event}); straight between the points."""
    down = {p.name: floating.touch(p, floating.in_position(p), DENSITY_T_M3)[0] for p in dock.POSITIONS}
    landed = {p.name: floating.landed_level_m(p, floating.in_position(p), DENSITY_T_M3) for p in dock.POSITIONS}
    up = {p.name: floating.touch(p, floating.leaving(p), DENSITY_T_M3)[0] for p in dock.POSITIONS}
    lift = {p.name: floating.landed_level_m(p, floating.leaving(p), DENSITY_T_M3) for p in dock.POSITIONS}
    empty = water.EMPTY_M
    return [
        ("P1", [("2006-09-07T06:00", empty), ("2006-09-07T07:40", 0.4), ("2006-09-07T09:00", 1.85)], {"2006-09-07T06:00": "flooding-began"}),
        ("P1", [
            ("2006-09-07T11:00", 1.82), ("2006-09-07T12:05", down["P1"]), ("2006-09-07T12:50", landed["P1"]), ("2006-09-07T14:30", -1.30),
            ("2006-09-07T17:10", empty),
        ], {"2006-09-07T11:00": "pumping-began", "2006-09-07T12:05": "first-touch", "2006-09-07T12:50": "landed", "2006-09-07T17:10": "dry"}),
        ("P1", [("2006-09-16T06:30", empty), ("2006-09-16T09:02", lift["P1"]), ("2006-09-16T09:15", up["P1"])],
         {"2006-09-16T06:30": "reflood-began", "2006-09-16T09:02": "lift-off", "2006-09-16T09:15": "afloat"}),
        ("P2", [("2006-09-16T06:30", empty), ("2006-09-16T06:30", empty)], {"2006-09-16T06:30": "flooding-began"}),
        ("P2", [
            ("2006-09-16T11:50", 1.45), ("2006-09-16T13:05", down["P2"]), ("2006-09-16T13:45", landed["P2"]), ("2006-09-16T15:30", -1.30),
            ("2006-09-16T18:10", empty),
        ], {"2006-09-16T11:50": "pumping-began", "2006-09-16T13:05": "first-touch", "2006-09-16T13:45": "landed", "2006-09-16T18:10": "dry"}),
        ("P2", [("2006-09-22T06:00", empty), ("2006-09-22T08:24", lift["P2"]), ("2006-09-22T08:35", up["P2"])],
         {"2006-09-22T06:00": "reflood-began", "2006-09-22T08:24": "lift-off", "2006-09-22T08:35": "afloat"}),
    ]


STEP_MIN = 30


def water_rows():
    out = []
    for position, points, events in spells():
        start, end = points[0][0], points[-1][0]
        times = {minutes_after(start, n) for n in range(0, water.minutes(end) - water.minutes(start) + 1, STEP_MIN)} | set(events)
        out += [
            {
                "position": position, "at": dock.with_offset(time), "level_m": fixed(rounded(water.level_at(points, water.minutes(time)), 0.01), 2),
                "event": events.get(time, ""),
            }
            for time in sorted(times)
        ]
    return out


CHECKS = [
    ("P1", "diver-contact", "1", "bears first", "bears on its after edge", dock.DIVING_SUPERVISOR, "2006-09-07T12:15"),
    ("P1", "centreline", "1", "on the line", "on the line as near as can be felt", dock.DIVING_SUPERVISOR, "2006-09-07T12:20"),
    ("P2", "diver-contact", "1", "bears first", "bears fairly", dock.DIVING_SUPERVISOR, "2006-09-16T13:15"),
]


def check_rows():
    keys = ("position", "check", "block", "planned", "recorded", "by", "at")
    return [dict(zip(keys, check)) | {"as_planned": "yes", "at": dock.with_offset(check[-1])} for check in CHECKS]


GAPPED = ["1", "2", "6", "12", "13", "18", "24", "30", "34", "35", "36", "2P", "2S", "5P", "5S"]
SURVEYS = [(P1, "2006-09-07T17:40"), (P2, "2006-09-16T18:40")]


def gap_rows(position, began):
    scatter = Scatter(f"older gaps {position.name}")
    lying = girder.rest(position, [(m.x_m, m.mass_t) for m in moved.before(position.times.touched)])
    return [
        {
            "position": position.name, "block": block, "gap_mm": fixed(max(0.0, 1000.0 * (lying[block][1] + scatter.bell(0.0006))), 0)
            if lying[block][1] > 0.0004 else "0",
            "by": dock.BLOCK_FOREMAN, "at": dock.with_offset(minutes_after(began, 2 * n)),
        }
        for n, block in enumerate(GAPPED)
    ]


def make():
    write_csv("landing/drafts.csv", ["position", "occasion", "mark_x_m", "mark_y_m", "draft_m", "water_density_kg_m3", "at", "by"],
              [row for occasion in OCCASIONS for row in draft_rows(occasion)])
    write_csv("landing/water.csv", ["position", "at", "level_m", "event"], water_rows())
    write_csv("landing/checks.csv", ["position", "check", "block", "planned", "recorded", "as_planned", "by", "at"], check_rows())
    write_csv("landing/gaps.csv", ["position", "block", "gap_mm", "by", "at"], [row for survey in SURVEYS for row in gap_rows(*survey)])
