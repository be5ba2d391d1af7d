"""The invented dock, and how the ship lay in it: positions, times, people.

Dock axes: station metres along the dock toward the bow, offset metres to port, level metres
above the dock's datum.
"""

from collections import namedtuple

NAME = "Graving Dock No. 1"
PLACE = "Port Merrin"
FLOOR_LEVEL_M = -4.850  # at station 0
DECLIVITY_PCT = 0.2  # the floor rises toward the head, where the bow points
SILL_LEVEL_M = -3.900

BEGAN = "2031-04-07"
ENDED = "2031-04-29"
UTC_OFFSET = "+01:00"

# When the docking plan meant her to be landed, the dock dry, the water let in again, and her afloat.
PLANNED_TIMES = {
    "P1": ("2031-04-07T12:00", "2031-04-07T17:00", "2031-04-21T06:00", "2031-04-21T09:00"),
    "P2": ("2031-04-21T13:30", "2031-04-21T18:00", "2031-04-28T06:00", "2031-04-28T09:00"),
}

# Position as planned, as it truly was (the sightings scatter about it), as it was recorded; and its times.
Position = namedtuple("Position", "name planned true recorded times")
Place = namedtuple("Place", "srp_station_m offset_m yaw_deg")
Times = namedtuple("Times", "flooding_began touched landed dry reflood_began afloat")

POSITIONS = [
    Position(
        "P1",
        planned=Place(14.30, 0.000, 0.0),
        true=Place(14.307, 0.013, 0.031),
        recorded=Place(14.31, 0.012, 0.03),
        times=Times("2031-04-07T05:10", "2031-04-07T11:42", "2031-04-07T12:31", "2031-04-07T16:50", "2031-04-22T06:20", "2031-04-22T09:05"),
    ),
    Position(
        "P2",
        planned=Place(13.60, 0.000, 0.0),
        true=Place(13.608, -0.009, -0.019),
        recorded=Place(13.61, -0.008, -0.02),
        times=Times("2031-04-22T06:20", "2031-04-22T13:10", "2031-04-22T13:52", "2031-04-22T18:05", "2031-04-29T05:40", "2031-04-29T08:20"),
    ),
]

DOCKMASTER = "Maud Tresilby"
NAVAL_ARCHITECT = "Anselm Dunmallow"
CHIEF_ENGINEER = "Ivo Pellwright"
SECOND_ENGINEER = "Bettany Skaive"
BLOCK_FOREMAN = "Jory Asterby"
DIVING_SUPERVISOR = "Nan Corrisk"
COATING_INSPECTOR = "Rufus Fennimarch"
PAINTERS_FOREMAN = "Corwin Thackerell"
NIGHT_WATCH = "Wilmot Ackerdine"
PLATE_GAUGER = "Lettice Vornham"
ARCHIVIST = "Hesper Oakapple"

PEOPLE = [
    (DOCKMASTER, "dockmaster"),
    (NAVAL_ARCHITECT, "naval architect to the society"),
    (CHIEF_ENGINEER, "chief engineer"),
    (SECOND_ENGINEER, "second engineer"),
    (BLOCK_FOREMAN, "foreman of the block gang"),
    (DIVING_SUPERVISOR, "diving supervisor"),
    (COATING_INSPECTOR, "coating inspector"),
    (PAINTERS_FOREMAN, "painters' foreman"),
    (NIGHT_WATCH, "night watchman of the dock"),
    (PLATE_GAUGER, "plate gauger"),
    (ARCHIVIST, "archivist to the society"),
]


def floor_level_m(station_m):
    return FLOOR_LEVEL_M + DECLIVITY_PCT / 100.0 * station_m


def with_offset(time):
    """`2031-04-07T05:10` as RFC 3339 with the dock's offset from UTC."""
    return f"{time}:00{UTC_OFFSET}"


def without_offset(time):
    """The same as a log without the offset writes it; docking.toml states the offset once."""
    return f"{time}:00"
