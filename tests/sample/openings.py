"""plan/openings.csv and plan/opened.csv: 40 through-hull openings, and what was opened, closed and tested.

Faults left in on purpose: IN2 is too near BP9 in P2; OB7 is on the port side and written starboard;
the test of SC4 after closing was never written down.
"""

from collections import namedtuple

import dock
import hull
from writing import fixed, write_csv

Opening = namedtuple("Opening", "name kind x_m y_m z_m size wanted_mm tag service state work")
Work = namedtuple("Work", "opened opened_by closed closed_by tested")  # one opening and closing, day of April and time

COLUMNS = [
    "opening", "kind", "x_m", "y_m", "z_m", "length_mm", "width_mm", "diameter_in", "side", "frame", "clearance_wanted_mm", "valve_tag",
    "opened_at", "opened_by", "closed_at", "closed_by", "tested_how", "state", "note_service",
]

CHIEF, SECOND, FOREMAN = dock.CHIEF_ENGINEER, dock.SECOND_ENGINEER, dock.BLOCK_FOREMAN
WRONG_SIDE = {"OB7": "starboard"}

HOSE = "hose test from outboard, 10 min, dry inboard"
HEAD = "filled with fresh water to 2 m, held 30 min, no drop"
AIR = "tank on 14 kPa air, soap solution, no bubbles"


def grids_and_valves(opened, closed, tested, by=SECOND):
    return Work(opened, by, closed, CHIEF, tested)


def plug(drawn, refitted):
    return Work(drawn, FOREMAN, refitted, SECOND, AIR)


def sea_chests():
    """Rectangular chests behind bolted grids: size is (length, width) in mm."""
    overhauled = "grid off, chest cleaned and coated, valve lapped, grid refitted"

    def chest(name, x, y, size, tag, service, *work, state=overhauled):
        return Opening(name, "sea-chest", x, y, None, size, None, tag, service, state, work)

    return [
        chest("SC1", 39.40, 3.60, (1200, 800), "SV-01", "main circulating inlet, port engine",
              grids_and_valves("08 08:40", "18 15:20", HEAD), grids_and_valves("23 09:10", "27 14:30", HOSE)),
        chest("SC2", 39.40, -3.60, (1200, 800), "SV-02", "main circulating inlet, starboard engine",
              grids_and_valves("08 10:15", "18 16:45", HEAD), grids_and_valves("23 10:30", "27 15:50", HOSE)),
        chest("SC3", 48.15, -4.40, (1500, 900), "SV-03", "boiler room main inlet", grids_and_valves("08 13:30", "19 11:10", HEAD)),
        chest("SC4", 43.60, 2.60, (700, 600), "SV-04", "fire and bilge pump inlet", grids_and_valves("09 09:05", "17 14:40", "")),
        chest("SC5", 86.50, -1.15, (500, 400), "SV-05", "emergency fire pump inlet", grids_and_valves("10 11:20", "17 10:05", HOSE)),
        chest("SC6", 55.40, 3.90, (800, 600), "SV-06", "auxiliary condenser inlet", grids_and_valves("09 14:25", "19 14:35", HEAD)),
        chest("SC7", 59.00, -3.30, (700, 600), "SV-07", "ballast pump inlet", grids_and_valves("10 08:30", "19 16:00", HEAD)),
        chest("SC8", 28.20, 2.20, (500, 500), "SV-08", "domestic and refrigeration inlet", state="grid scraped in place, valve left shut"),
    ]


def inlets():
    def inlet(name, x, y, inches, tag, service, *work, state="rose cleaned, valve lapped and repacked"):
        return Opening(name, "intake", x, y, None, inches, None, tag, service, state, work)

    return [
        inlet("IN1", 51.20, -3.20, "6", "SV-11", "evaporator feed", grids_and_valves("11 08:50", "16 15:10", HOSE)),
        inlet("IN2", 65.84, 4.15, "8", "SV-12", "sanitary pump", grids_and_valves("11 10:40", "16 16:20", HOSE)),
        inlet("IN3", 61.40, -3.00, "8", "SV-13", "deck wash pump", grids_and_valves("11 13:15", "17 09:00", HOSE)),
        inlet("IN4", 72.90, 2.30, "5", "SV-14", "forward fire main", state="left shut, rose scraped in place"),
    ]


def discharges():
    """In the ship's side, so that y is the side's half-breadth there."""

    def discharge(name, side, x, z, inches, tag, service, *work, state="flap and valve overhauled"):
        y = round((1 if side == "port" else -1) * hull.side_half_breadth_m(x), 2)
        return Opening(name, "overboard", x, y, z, inches, None, tag, service, state, work)

    shut = "left shut, flap freed by hand"
    return [
        discharge("OB1", "port", 35.60, 2.60, "24", "OV-01", "main circulating discharge", grids_and_valves("09 10:10", "18 10:20", HEAD, CHIEF)),
        discharge("OB2", "starboard", 35.60, 2.60, "24", "OV-02", "main circulating discharge", grids_and_valves("09 11:30", "18 11:35", HEAD, CHIEF)),
        discharge("OB3", "starboard", 46.60, 2.85, "12", "OV-03", "auxiliary condenser discharge", grids_and_valves("10 14:10", "17 16:15", HOSE)),
        discharge("OB4", "port", 44.40, 4.10, "5", "OV-04", "bilge pump", grids_and_valves("10 15:30", "16 09:45", HOSE)),
        discharge("OB5", "port", 57.80, 4.35, "6", "OV-05", "soil pipes, port", state=shut),
        discharge("OB6", "starboard", 63.20, 4.35, "6", "OV-06", "soil pipes, starboard", state=shut),
        discharge("OB7", "port", 50.40, 3.20, "3", "OV-07", "evaporator brine", grids_and_valves("12 09:20", "15 10:30", HOSE)),
        discharge("OB8", "starboard", 53.60, 1.90, "2.5", "OV-08", "boiler blow-down", grids_and_valves("12 10:45", "15 11:40", HOSE)),
        discharge("OB9", "port", 69.40, 4.40, "5", "OV-09", "galley", state=shut),
        discharge("OB10", "starboard", 78.20, 4.50, "4", "OV-10", "crew washplace", state=shut),
        discharge("OB11", "port", 9.20, 4.60, "3", "OV-11", "steering flat scupper", state=shut),
        discharge("OB12", "port", 29.00, 3.90, "4", "OV-12", "refrigeration cooling", state=shut),
    ]


def docking_plugs():
    """In the garboard strake, clear of the keel caps. Not every tank was drained; three were drained twice."""

    def docking_plug(name, x, y, z, service, *work):
        state = "refitted with new grommet, cemented" if work else "not drawn, cement sound"
        return Opening(name, "docking-plug", x, y, z, "2.5", "150", "", service, state, work)

    return [
        docking_plug("DP1", 10.90, 0.85, 0.35, "after peak", plug("07 17:25", "21 09:20")),
        docking_plug("DP2", 17.60, -0.90, None, "after ballast tank", plug("07 17:40", "21 09:45"), plug("22 18:50", "28 10:15")),
        docking_plug("DP3", 23.80, 0.90, None, "shaft tunnel well"),
        docking_plug("DP4", 33.00, -0.90, None, "No. 4 double bottom, starboard", plug("07 18:05", "21 10:30")),
        docking_plug("DP5", 40.60, 0.92, None, "engine room double bottom, port", plug("07 18:15", "21 10:50")),
        docking_plug("DP6", 49.00, -0.90, None, "reserve feed tank", plug("07 18:30", "21 11:20"), plug("22 19:10", "28 10:50")),
        docking_plug("DP7", 54.50, 0.90, None, "boiler room double bottom, port", plug("07 18:45", "21 11:40")),
        docking_plug("DP8", 60.30, -0.90, None, "No. 2 double bottom, starboard", plug("08 08:10", "21 13:30")),
        docking_plug("DP9", 67.20, 0.90, None, "No. 2 double bottom, port", plug("08 08:20", "21 13:45")),
        docking_plug("DP10", 76.90, -0.92, None, "No. 1 double bottom", plug("08 08:35", "21 14:10"), plug("22 19:30", "28 11:25")),
        docking_plug("DP11", 90.80, 0.88, 0.12, "fore peak"),
    ]


def others():
    def other(name, kind, x, y, z, inches, wanted, tag, service, state):
        return Opening(name, kind, x, y, z, inches, wanted, tag, service, state, ())

    return [
        other("ES1", "echo-sounder", 69.46, 0.20, None, "8", "200", "", "echo sounder transducer", "face wiped only, not painted"),
        other("SL1", "speed-log", 66.20, 0.95, None, "6", "200", "SV-21", "speed log, rodmeter drawn up", "sluice shut and lashed"),
        other("SH1", "shaft", 11.60, 2.60, 1.45, "22", None, "", "port shaft and stern tube", "wear-down taken, outer gland repacked"),
        other("SH2", "shaft", 11.60, -2.60, 1.45, "22", None, "", "starboard shaft and stern tube", "wear-down taken, outer gland repacked"),
        other("RU1", "rudder", 3.40, 0.00, 4.20, "14", None, "", "rudder stock trunk", "gland repacked"),
    ]


def all_openings():
    return sea_chests() + inlets() + discharges() + docking_plugs() + others()


def april(day_and_time):
    day, time = day_and_time.split()
    return dock.without_offset(f"2031-04-{day}T{time}")


def work_cells(work):
    return {
        "opened_at": april(work.opened), "opened_by": work.opened_by, "closed_at": april(work.closed), "closed_by": work.closed_by,
        "tested_how": work.tested,
    }


def size_cells(size):
    return {"diameter_in": size} if isinstance(size, str) else {"length_mm": str(size[0]), "width_mm": str(size[1])}


def true_side(y_m):
    return "port" if y_m > 0.1 + 1e-9 else "starboard" if y_m < -0.1 - 1e-9 else "centre"


def row(opening):
    cells = {
        "opening": opening.name, "kind": opening.kind,
        "x_m": fixed(opening.x_m, 2), "y_m": fixed(opening.y_m, 2), "z_m": "" if opening.z_m is None else fixed(opening.z_m, 2),
        "side": WRONG_SIDE.get(opening.name, true_side(opening.y_m)), "frame": fixed(hull.frame_at(opening.x_m), 1).removesuffix(".0"),
        "clearance_wanted_mm": opening.wanted_mm or "", "valve_tag": opening.tag, "state": opening.state, "note_service": opening.service,
    }
    cells.update(size_cells(opening.size))
    cells.update(work_cells(opening.work[0]) if opening.work else {})
    return cells


def make():
    register = all_openings()
    write_csv("plan/openings.csv", COLUMNS, [row(opening) for opening in register])
    again = [{"opening": o.name, **work_cells(work)} for o in register for work in o.work[1:]]
    write_csv("plan/opened.csv", ["opening", "opened_at", "opened_by", "closed_at", "closed_by", "tested_how"], again)
