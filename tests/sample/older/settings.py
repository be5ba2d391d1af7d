"""docking.toml: ship, dock, period, people, limits and tolerances with where they come from."""

import dock
import docking
import floating
import hull
import hullform
from writing import write_text

OWNER = "Friends of the Calder Wren"

LIMITS = [
    ("opening_clearance", "250", "mm", "docking plan CW-06-01, note 3"),
    ("position_from_plan", "0.05", "m", "docking plan CW-06-01, note 1"),
    ("never_exposed", "0.05", "m2", "docking specification CW-06-03, clause 2"),
    ("trim", "0.60", "m", "docking plan CW-06-01, note 6"),
    ("list", "0.5", "deg", "docking plan CW-06-01, note 6"),
    ("gm", "0.30", "m", "docking calculation CW-06-04"),
    ("knuckle_load", "80", "t", "docking calculation CW-06-04"),
    ("dewatering_rate", "1.90", "m_per_h", "standing orders of the dock, order 14"),
    ("feathering", "30", "mm", "painting specification CW-06-05, clause 3"),
    ("climate_age", "4", "h", "painting specification CW-06-05, clause 4"),
    ("preparation_age", "12", "h", "painting specification CW-06-05, clause 2"),
    ("paint_least", "90", "pct", "painting specification CW-06-05, clause 6"),
    ("paint_greatest", "160", "pct", "painting specification CW-06-05, clause 6"),
    ("anode_loss", "75", "pct", "chief engineer's standing orders, order 9"),
]

TOLERANCES = [
    ("station", "20", "mm", "tape and plumb line in wind"),
    ("offset", "20", "mm", "tape and plumb line in wind"),
    ("sighting", "20", "mm", "tape and plumb line in wind"),
    ("block_height", "10", "mm", "docking plan CW-06-01, note 4"),
    ("displacement", "30", "t", "draft marks read from a boat"),
    ("water_level", "0.05", "m", "the dock's staff, read by eye"),
    ("gap", "8", "mm", "feelers"),
    ("plate_thickness", "0.2", "mm", "gauging instructions CW-06-06"),
]


def ship():
    return docking.ship().replace(hull.OWNER, OWNER)


def stability():
    return f"""[stability]
kg_m = {floating.KG_M:.2f}
free_surface = "counted: 0.06 m of KG"
source = "inclining of 2004, brought up to date for the docking in CW-06-04"
"""


def hydrostatics():
    return f"""[hydrostatics]
lcb_lcf_from_x_m = {hull.AMIDSHIPS_X_M}
water_density_t_m3 = {hullform.TABLE_DENSITY_T_M3}
trim_m = 0.0
source = "hydrostatic particulars CW-06-02"
"""


CLOSEOUT = f"""[closeout]
prepared_by = "{dock.NAVAL_ARCHITECT}"
prepared_on = 2006-10-12
bundle_name = "calder-wren-2006"
"""


def make():
    parts = [
        ship(), docking.frames(), stability(), hydrostatics(), docking.place(), docking.period(), docking.people(),
        docking.sourced("limits", LIMITS), docking.sourced("tolerances", TOLERANCES), '[film]\nrule = "90-10"\n', CLOSEOUT,
    ]
    write_text("docking.toml", "format = 1\n\n" + "\n".join(parts))
