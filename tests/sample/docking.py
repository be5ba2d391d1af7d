"""docking.toml: ship, dock, period, people, limits and tolerances with where they come from."""

import dock
import floating
import hull
import hullform
from writing import write_text

LIMITS = [
    ("opening_clearance", "300", "mm", "docking plan CW-31-02, note 4"),
    ("position_from_plan", "0.05", "m", "docking plan CW-31-02, note 2"),
    ("never_exposed", "0.05", "m2", "docking specification CW-31-05, clause 3.2"),
    ("trim", "0.60", "m", "docking plan CW-31-02, note 9: over the perpendiculars, beyond that of the blocks"),
    ("list", "0.5", "deg", "docking plan CW-31-02, note 9"),
    ("gm", "0.30", "m", "docking calculation CW-31-06, sheet 2"),
    ("knuckle_load", "60", "t", "docking calculation CW-31-06, sheet 3: aftmost block alone"),
    ("end_gap", "0.040", "m", "docking calculation CW-31-06, sheet 5"),
    ("dewatering_rate", "1.80", "m_per_h", "standing orders of the dock, order 14"),
    ("bearing_pressure", "2000", "kpa", "standing orders of the dock, order 22: soft caps of unknown timber"),
    ("feathering", "30", "mm", "painting specification CW-31-09, clause 4.3: laps at the edge of a patch"),
    ("dew_point_margin", "3", "k", "painting specification CW-31-09, clause 5.1, after MSC.215(82)"),
    ("humidity", "85", "pct", "painting specification CW-31-09, clause 5.1, after MSC.215(82)"),
    ("climate_age", "4", "h", "painting specification CW-31-09, clause 5.2"),
    ("preparation_age", "12", "h", "painting specification CW-31-09, clause 3.6: blasted steel before its first coat"),
    ("paint_least", "95", "pct", "painting specification CW-31-09, clause 6.4"),
    ("paint_greatest", "150", "pct", "painting specification CW-31-09, clause 6.4: loss by spray and what stays in the pails"),
    ("anode_loss", "75", "pct", "chief engineer's standing orders, order 9"),
    ("bending_moment", "9000", "knm", "docking calculation CW-31-06, sheet 7: riveted bottom of 1934, two thirds of what it bore at sea"),
    ("shear_force", "2400", "kn", "docking calculation CW-31-06, sheet 7"),
    ("floor_load", "90", "t_per_m", "standing orders of the dock, order 23: all rows together"),
    ("floor_load_length", "6", "m", "standing orders of the dock, order 23: the length of a slab of the floor"),
    ("floor_pressure", "1600", "kpa", "standing orders of the dock, order 23"),
]

TOLERANCES = [
    ("station", "15", "mm", "survey note CW-31-11: tape and plumb line in still air"),
    ("offset", "15", "mm", "survey note CW-31-11: tape and plumb line in still air"),
    ("yaw", "0.05", "deg", "survey note CW-31-11: 15 mm each end over the ship's length, with margin"),
    ("shift", "20", "mm", "survey note CW-31-11: two stations, 15 mm each, taken together"),
    ("sighting", "15", "mm", "survey note CW-31-11: one reading against the rest"),
    ("block_height", "10", "mm", "docking plan CW-31-02, note 7: staff reading on rough concrete"),
    ("frame", "0.15", "m", "register of openings CW-31-08: frames are written to a tenth"),
    ("side", "0.10", "m", "register of openings CW-31-08: centre means within 0.10 m"),
    ("draft", "0.04", "m", "survey note CW-31-11: one mark against the rest, water quiet"),
    ("displacement", "25", "t", "survey note CW-31-11: about 2 cm of draft"),
    ("centre", "0.15", "m", "weight estimate CW-31-07, remark 1"),
    ("water_level", "0.04", "m", "survey note CW-31-11: staff and draft marks together"),
    ("gap", "8", "mm", "survey note CW-31-11: feelers, and a calculation on timber of doubtful stiffness"),
    ("landing_check", "20", "mm", "docking plan CW-31-02, note 11: rule and chalk under water"),
    ("lift_off_draft", "0.04", "m", "survey note CW-31-11: as for one mark"),
    ("dew_point", "0.5", "k", "painting specification CW-31-09, clause 5.3: hygrometer's certificate"),
    ("gauge", "5", "pct", "painting specification CW-31-09, clause 7.2"),
    ("wet_film", "25", "pct", "painting specification CW-31-09, clause 6.2: comb, by eye"),
    ("plate_thickness", "0.2", "mm", "gauging instructions CW-31-12: two readings of one plate"),
    ("zone_area", "1", "pct", "painting specification CW-31-09, clause 1.4: rounding of the zones' areas"),
]

FILM_FOR_ZONE = [
    {"zone": '"BS"', "rule": '"sspc-pa-2"', "areas": '"metric"', "restriction_level": 3},
    {"zone": '"SS"', "rule": '"90-10"'},
]


def ship():
    return f"""[ship]
name = "{hull.NAME}"
owner = "{hull.OWNER}"
built = "{hull.BUILT}"
length_overall_m = {hull.LENGTH_OVERALL_M}
length_between_perpendiculars_m = {hull.LENGTH_BETWEEN_PERPENDICULARS_M}
breadth_m = {hull.BREADTH_M}
aft_perpendicular_x_m = {hull.AFT_PERPENDICULAR_X_M}
forward_perpendicular_x_m = {hull.FORWARD_PERPENDICULAR_X_M}
foremost_x_m = {hull.FOREMOST_X_M}
stern_reference_point = "aftermost point of the cruiser stern, on the centreline, at the rubbing strake; plumbed to the keel line"
frames_from = "aft"
draft_marks_datum = "underside of the flat keel, straight part produced"
"""


def frames():
    return "\n".join(
        f"[[frames]]\nfrom_frame = {first}\nx_m = {x_m:.2f}\nspacing_mm = {spacing_mm}\n"
        for first, x_m, spacing_mm in hull.FRAME_STRETCHES
    )


def stability():
    return f"""[stability]
kg_m = {floating.KG_M:.2f}
free_surface = "counted: four slack tanks, fresh water aft and engine room 1 to 3, 0.06 m of KG"
source = "inclining of 2029, report CW-29-31, brought up to date for the docking in CW-31-06, sheet 1"
"""


def hydrostatics():
    return f"""[hydrostatics]
lcb_lcf_from_x_m = {hull.AMIDSHIPS_X_M}
water_density_t_m3 = {hullform.TABLE_DENSITY_T_M3}
trim_m = 0.0
source = "hydrostatic particulars CW-31-04, computed from the offsets lifted in 2028"
"""


def place():
    return f"""[dock]
name = "{dock.NAME}"
place = "{dock.PLACE}"
kind = "graving dock"
datum = "inner face of the caisson at the sill; stations grow toward the head of the dock, where the bow points"
level_datum = "Port Merrin dock datum, brass stud in the cope abreast of station 0 is 5.260 m above it"
floor_level_m = {dock.FLOOR_LEVEL_M:.3f}
declivity_pct = {dock.DECLIVITY_PCT}
sill_level_m = {dock.SILL_LEVEL_M:.3f}
"""


def period():
    return f"""[period]
began = {dock.BEGAN}
ended = {dock.ENDED}
offset = "{dock.UTC_OFFSET}"
"""


def people():
    return "\n".join(f'[[people]]\nname = "{name}"\nrole = "{role}"\n' for name, role in dock.PEOPLE)


def plan():
    return f"""[plan]
cost_of_a_landing = 18000
currency = "crowns of 2031"
chosen_by = "{dock.NAVAL_ARCHITECT}"
chosen_on = 2031-03-18
chosen_because = "Two landings reach all of the bottom and one does not; the third position adds nothing. P2 is 0.70 m aft and not the plan's 0.61 m, which would have to be hit within 10 mm."
"""


def sourced(table, entries):
    return "\n".join(
        f'[{table}.{name}]\nvalue = {value}\nunit = "{unit}"\nsource = "{source}"\n' for name, value, unit, source in entries
    )


def film():
    """The rule for the dry film, and the zones that have another."""
    others = "\n".join("[[film_for_zone]]\n" + "".join(f"{key} = {value}\n" for key, value in zone.items()) for zone in FILM_FOR_ZONE)
    return '[film]\nrule = "iso-19840"\n\n' + others


def closeout():
    return f"""[closeout]
prepared_by = "{dock.ARCHIVIST}"
prepared_on = 2031-05-16
bundle_name = "calder-wren-2031"
"""


def archive():
    return """[archive]
note = "This docking is invented: ship, dock, people and figures. It shows what a record can hold, and is no record."
rights = "CC0-1.0"
access = "open"
personal_data = "none: nobody named in it exists"
identifier = "CWPS D-2031"
contact = "Records office, Calder Wren Preservation Society"
contact_email = "records@calder-wren.example"
contact_address = "Old Customs House, Port Merrin"
successor = "Port Merrin borough record office, by the deed of 2027"
official_number = "CW-1934, shipping register of Port Merrin"
museum_number = "CWPS 1934/1"
originals = "field books 1 to 9 and log sheets, records office, shelf 31 D; scans of some are among the papers"
plans = "CW-31-02 to CW-31-12, plan chest of the society, drawer 7"
collection = "Dockings of Calder Wren, series D"
keep_for = "as long as she is kept, and 50 years more; trustees' minute 2030/17"
"""


def make():
    parts = [ship(), frames(), stability(), hydrostatics(), place(), period(), people(), plan(), sourced("limits", LIMITS), sourced("tolerances", TOLERANCES), film(), archive(), closeout()]
    write_text("docking.toml", "format = 1\n\n" + "\n".join(parts))
