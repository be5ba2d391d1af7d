"""The same invented dock in 2006, and how the ship lay in it: positions, times, people. See ../dock.py for the axes."""

from collections import namedtuple

NAME = "Graving Dock No. 1"
PLACE = "Port Merrin"
FLOOR_LEVEL_M = -4.850
DECLIVITY_PCT = 0.2
SILL_LEVEL_M = -3.900

BEGAN = "2006-09-07"
ENDED = "2006-09-22"
UTC_OFFSET = "+01:00"

Position = namedtuple("Position", "name planned true recorded times")
Place = namedtuple("Place", "srp_station_m offset_m yaw_deg")
Times = namedtuple("Times", "flooding_began touched landed dry reflood_began afloat")

# One shift, 1.20 m aft: the keel blocks are 1.00 m long and 2.40 m from centre to centre.
POSITIONS = [
    Position(
        "P1",
        planned=Place(14.00, 0.000, 0.0),
        true=Place(14.017, 0.006, -0.012),
        recorded=Place(14.02, 0.005, -0.01),
        times=Times("2006-09-07T06:00", "2006-09-07T12:05", "2006-09-07T12:50", "2006-09-07T17:10", "2006-09-16T06:30", "2006-09-16T09:15"),
    ),
    Position(
        "P2",
        planned=Place(12.80, 0.000, 0.0),
        true=Place(12.828, -0.011, 0.021),
        recorded=Place(12.83, -0.010, 0.02),
        times=Times("2006-09-16T06:30", "2006-09-16T13:05", "2006-09-16T13:45", "2006-09-16T18:10", "2006-09-22T06:00", "2006-09-22T08:35"),
    ),
]

DOCKMASTER = "Gideon Marlcote"
NAVAL_ARCHITECT = "Sabra Quillane"
CHIEF_ENGINEER = "Tobit Underhay"
SECOND_ENGINEER = "Ivo Pellwright"
BLOCK_FOREMAN = "Enoch Asterby"
DIVING_SUPERVISOR = "Dorcas Vellacot"
COATING_INSPECTOR = "Leander Foxmoor"
PAINTERS_FOREMAN = "Abel Thackerell"
NIGHT_WATCH = COATING_INSPECTOR
PLATE_GAUGER = "Hester Vornham"

PEOPLE = [
    (DOCKMASTER, "dockmaster"),
    (NAVAL_ARCHITECT, "naval architect"),
    (CHIEF_ENGINEER, "chief engineer"),
    (SECOND_ENGINEER, "second engineer"),
    (BLOCK_FOREMAN, "foreman of the block gang"),
    (DIVING_SUPERVISOR, "diver"),
    (COATING_INSPECTOR, "coating inspector"),
    (PAINTERS_FOREMAN, "painters' foreman"),
    (PLATE_GAUGER, "plate gauger"),
]


def floor_level_m(station_m):
    return FLOOR_LEVEL_M + DECLIVITY_PCT / 100.0 * station_m


def with_offset(time):
    return f"{time}:00{UTC_OFFSET}"


def without_offset(time):
    return f"{time}:00"
