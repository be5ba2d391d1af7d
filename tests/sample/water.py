"""landing/water.csv: the level on the dock's staff, every ten minutes while it moved, and at each event.

Fault left in on purpose: in P1 a third pump was left running for ten minutes and the level fell faster than allowed.
"""

import dock
import floating
from drafts import OCCASIONS, minutes_after
from writing import Scatter, fixed, rounded, write_csv

P1, P2 = dock.POSITIONS
EMPTY_M = -4.79  # what the sump pump leaves at the sill
STEP_MIN = 10

SURVEY_LEVEL_M = -0.30  # held in P1 for the first gap survey


def minutes(time):
    return int(time[11:13]) * 60 + int(time[14:16])


def density(position, name):
    return next(o.density for o in OCCASIONS if o.position == position.name and o.name == name)


def levels(position):
    """Level at first touch and landed, as she lands; at lift-off and afloat, as she leaves."""
    down = (floating.in_position(position), density(position, "before-landing"))
    up = (floating.leaving(position), density(position, "lift-off"))
    return (
        floating.touch(position, *down)[0], floating.landed_level_m(position, *down),
        floating.landed_level_m(position, *up), floating.touch(position, *up)[0],
    )


# A spell is (position, [(time, level)], {time: event}); straight between the points.
def spells():
    touch_1, landed_1, lift_1, afloat_1 = levels(P1)
    touch_2, landed_2, lift_2, afloat_2 = levels(P2)
    return [
        ("P1", [("2031-04-07T05:10", EMPTY_M), ("2031-04-07T05:40", -3.9), ("2031-04-07T06:50", 0.6), ("2031-04-07T07:40", 1.88), ("2031-04-07T07:50", 1.92)],
         {"2031-04-07T05:10": "flooding-began"}),
        ("P1", [("2031-04-07T08:35", 1.93), ("2031-04-07T08:35", 1.93)], {"2031-04-07T08:35": "other"}),
        ("P1", [("2031-04-07T10:12", 1.80), ("2031-04-07T10:12", 1.80)], {"2031-04-07T10:12": "other"}),
        ("P1", [
            ("2031-04-07T10:20", 1.79), ("2031-04-07T10:30", 1.70), ("2031-04-07T11:10", touch_1 + 0.36), ("2031-04-07T11:42", touch_1),
            ("2031-04-07T11:45", touch_1 - 0.02), ("2031-04-07T12:12", touch_1 - 0.025), ("2031-04-07T12:31", landed_1), ("2031-04-07T12:40", landed_1 - 0.10),
            ("2031-04-07T13:15", SURVEY_LEVEL_M), ("2031-04-07T13:50", SURVEY_LEVEL_M - 0.01), ("2031-04-07T14:20", -1.01), ("2031-04-07T14:30", -1.33),
            ("2031-04-07T15:40", -3.05), ("2031-04-07T16:30", -4.36), ("2031-04-07T16:50", EMPTY_M),
        ], {
            "2031-04-07T10:20": "pumping-began", "2031-04-07T11:42": "first-touch", "2031-04-07T11:45": "halt", "2031-04-07T11:48": "diver-down",
            "2031-04-07T12:09": "diver-up", "2031-04-07T12:12": "pumping-resumed", "2031-04-07T12:31": "landed", "2031-04-07T13:15": "halt",
            "2031-04-07T13:18": "diver-down", "2031-04-07T13:46": "diver-up", "2031-04-07T13:50": "pumping-resumed", "2031-04-07T16:50": "dry",
        }),
        ("P1", [
            ("2031-04-22T06:20", EMPTY_M), ("2031-04-22T06:50", -3.95), ("2031-04-22T08:20", -0.35), ("2031-04-22T08:54", lift_1), ("2031-04-22T09:05", afloat_1),
        ], {"2031-04-22T06:20": "reflood-began", "2031-04-22T08:54": "lift-off", "2031-04-22T09:05": "afloat"}),
        ("P2", [("2031-04-22T06:20", EMPTY_M), ("2031-04-22T06:20", EMPTY_M)], {"2031-04-22T06:20": "flooding-began"}),
        ("P2", [("2031-04-22T09:10", afloat_1 + 0.10), ("2031-04-22T09:40", 1.36), ("2031-04-22T09:50", 1.40)], {}),
        ("P2", [
            ("2031-04-22T11:40", 1.41), ("2031-04-22T11:50", 1.35), ("2031-04-22T12:30", touch_2 + 0.30), ("2031-04-22T13:10", touch_2),
            ("2031-04-22T13:14", touch_2 - 0.025), ("2031-04-22T13:36", touch_2 - 0.03), ("2031-04-22T13:52", landed_2), ("2031-04-22T14:00", landed_2 - 0.09),
            ("2031-04-22T15:30", -1.42), ("2031-04-22T15:45", -1.42), ("2031-04-22T16:30", -2.45), ("2031-04-22T17:40", -4.24), ("2031-04-22T18:05", EMPTY_M),
        ], {
            "2031-04-22T11:40": "pumping-began", "2031-04-22T13:10": "first-touch", "2031-04-22T13:14": "halt", "2031-04-22T13:17": "diver-down",
            "2031-04-22T13:33": "diver-up", "2031-04-22T13:36": "pumping-resumed", "2031-04-22T13:52": "landed", "2031-04-22T15:30": "halt",
            "2031-04-22T15:45": "pumping-resumed", "2031-04-22T18:05": "dry",
        }),
        ("P2", [
            ("2031-04-29T05:40", EMPTY_M), ("2031-04-29T06:10", -3.95), ("2031-04-29T07:35", -0.40), ("2031-04-29T08:12", lift_2), ("2031-04-29T08:20", afloat_2),
            ("2031-04-29T08:30", afloat_2 + 0.02), ("2031-04-29T08:40", afloat_2 + 0.18), ("2031-04-29T09:30", 1.52), ("2031-04-29T09:40", 1.55),
        ], {"2031-04-29T05:40": "reflood-began", "2031-04-29T08:12": "lift-off", "2031-04-29T08:20": "afloat"}),
    ]


NOTES = {
    "2031-04-07T08:35": "caisson out, ship entering",
    "2031-04-07T10:12": "caisson seated",
    "2031-04-07T11:45": "for the divers",
    "2031-04-07T13:15": "for the first gap survey",
    "2031-04-07T14:30": "no. 3 pump stopped, had been left on",
    "2031-04-07T16:50": "floor awash at the sill only, sump pump on",
    "2031-04-22T13:14": "for the divers",
    "2031-04-22T15:30": "suction screens cleared of weed",
    "2031-04-29T08:30": "held for the draft marks",
}


def level_at(points, minute):
    for (t0, l0), (t1, l1) in zip(points, points[1:]):
        if minutes(t0) <= minute <= minutes(t1):
            return l0 + (l1 - l0) * (minute - minutes(t0)) / max(1, minutes(t1) - minutes(t0))
    raise ValueError(minute)


def rows():
    scatter, out = Scatter("water"), []
    for position, points, events in spells():
        start, day = points[0][0], points[0][0][:10]
        times = {minutes_after(start, n) for n in range(0, minutes(points[-1][0]) - minutes(start) + 1, STEP_MIN)} | set(events)
        for time in sorted(times):
            assert time.startswith(day)
            level = level_at(points, minutes(time)) + scatter.bell(0.002)
            out.append({
                "position": position, "at": dock.with_offset(time), "level_m": fixed(rounded(level, 0.01), 2), "event": events.get(time, ""),
                "note": NOTES.get(time, ""),
            })
    return out


def make():
    write_csv("landing/water.csv", ["position", "at", "level_m", "event", "note"], rows())
