"""positions/divers.csv: what the divers measured of the keel over the blocks, before she touched, at first touch and landed.

Fault left in on purpose: in P2 one offset was written down with the wrong sign.
"""

import csv
import io

import dock
from writing import write_csv

COLUMNS = "position,occasion,round,block,keel_offset_mm,port_edge_mm,starboard_edge_mm,frame,mark_ahead_mm,by,at,note".split(",")

# Times without their offset; by the diving supervisor.
READ = """\
P1,before-touchdown,1,K3,71,,,16,885,,2031-04-07T11:08,
P1,before-touchdown,1,K20,52,,,,,,2031-04-07T11:14,
P1,before-touchdown,1,K40,8,,,,,,2031-04-07T11:21,
P1,before-touchdown,2,K3,24,,,16,705,,2031-04-07T11:30,moved aft and aft end to starboard on the capstans
P1,before-touchdown,2,K20,41,,,,,,2031-04-07T11:34,
P1,before-touchdown,2,K40,37,,,,,,2031-04-07T11:38,
P1,first-touch,,K1,20,,,,,,2031-04-07T11:54,
P1,first-touch,,K20,38,,,,,,2031-04-07T12:06,
P1,landed,,K3,22,,,16,712,,2031-04-07T13:22,
P1,landed,,K20,40,,,,,,2031-04-07T13:30,
P1,landed,,K40,,281,359,,,,2031-04-07T13:41,keel plate 560 mm wide there
P2,before-touchdown,1,K3,-9,,,16,14,,2031-04-22T12:30,
P2,before-touchdown,1,K20,-12,,,,,,2031-04-22T12:36,
P2,before-touchdown,1,K40,-31,,,,,,2031-04-22T12:44,
P2,first-touch,,K1,-5,,,,,,2031-04-22T13:22,
P2,first-touch,,K20,-12,,,,,,2031-04-22T13:30,
P2,landed,,K3,-7,,,16,10,,2031-04-22T16:20,
P2,landed,,K20,20,,,,,,2031-04-22T16:26,
P2,landed,,K30,-20,,,,,,2031-04-22T16:31,
P2,landed,,K40,-35,,,,,,2031-04-22T16:38,
"""


def row(cells):
    known = dict(zip(COLUMNS, cells))
    return {**known, "by": dock.DIVING_SUPERVISOR, "at": dock.with_offset(known["at"])}


def make():
    write_csv("positions/divers.csv", COLUMNS, [row(cells) for cells in csv.reader(io.StringIO(READ))])
