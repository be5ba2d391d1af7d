"""coating/zones.csv and coating/areas.csv: flat keel, bottom port and starboard, the sides; and one area drawn by hand."""

from collections import namedtuple

import hull
import steel
from writing import fixed, write_csv

# Plating rises a little toward the bilge and has laps and straps: true area over plan area.
TRUE_OVER_PLAN = {"KL": 1.005, "BP": 1.022, "BS": 1.022}

SIDES = {"SP": 432.0, "SS": 431.0}  # true area, m2: from the bottom's edge to the boot-topping
SIDES_LOWEST_Z_M = 1.00

Area = namedtuple("Area", "name zone x_from_m x_to_m y_from_m y_to_m")
ROUND_SC1 = Area("RING1", "BP", 38.40, 40.40, 2.90, 4.30)  # about the grid of sea chest SC1

PARTING_X_M = 10.00  # abaft this the flat keel is the whole bottom


def edge(half_breadths, from_x):
    return [(x, half) for x, half in half_breadths if x >= from_x]


def port_outline():
    """Forward along the flat keel's edge, aft along the bottom's: the vertices of plan/bottom.csv and no others."""
    inner, outer = edge(hull.FLAT_KEEL_HALF_BREADTHS_M, PARTING_X_M), edge(hull.BOTTOM_HALF_BREADTHS_M, PARTING_X_M)
    return inner + list(reversed(outer))[1:-1]


def outlines():
    half = hull.FLAT_KEEL_HALF_BREADTHS_M
    keel = [(x, -y) for x, y in half] + [(x, y) for x, y in reversed(half) if y > 0.0]
    port = port_outline()
    return {"KL": keel, "BP": port, "BS": [(x, -y) for x, y in reversed(port)]}


def polygon_m2(points):
    return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(points, points[1:] + points[:1]))) / 2.0


def plan_m2(zone):
    return polygon_m2(outlines()[zone])


def true_m2(zone):
    return SIDES[zone] if zone in SIDES else round(plan_m2(zone) * TRUE_OVER_PLAN[zone], 1)


def holds(zone, x_m, y_m, inside_m=0.0):
    """Whether a point lies in a bottom zone, so far from its edge athwartships."""
    if not 6.40 <= x_m <= 97.20:
        return False
    keel = hull.interpolated(hull.FLAT_KEEL_HALF_BREADTHS_M, x_m)
    if zone == "KL":
        return abs(y_m) <= keel - inside_m
    out = y_m if zone == "BP" else -y_m
    return x_m >= PARTING_X_M and keel + inside_m <= out <= hull.bottom_half_breadth_m(x_m) - inside_m


def hidden_m2(zone, position_name):
    """Plan area of a zone under the caps, near enough for ordering paint."""
    return sum(share for x, y, share in steel.points_under(position_name) if holds(zone, x, y))


def area_m2(area):
    return (area.x_to_m - area.x_from_m) * (area.y_to_m - area.y_from_m)


def in_area(area, x_m, y_m):
    return area.x_from_m <= x_m <= area.x_to_m and area.y_from_m <= y_m <= area.y_to_m


def rows():
    out = []
    for zone, points in outlines().items():
        for order, (x, y) in enumerate(points, start=1):
            first = order == 1
            out.append({
                "zone": zone, "kind": "bottom", "order": str(order), "x_m": fixed(x, 2), "y_m": fixed(y, 2),
                "true_area_m2": fixed(true_m2(zone), 1) if first else "",
            })
    for zone in SIDES:
        out.append({"zone": zone, "kind": "side", "true_area_m2": fixed(SIDES[zone], 1), "lowest_z_m": fixed(SIDES_LOWEST_Z_M, 2)})
    return out


def area_rows(area):
    corners = [
        (area.x_from_m, area.y_from_m), (area.x_to_m, area.y_from_m), (area.x_to_m, area.y_to_m), (area.x_from_m, area.y_to_m),
    ]
    return [
        {"area": area.name, "order": str(order), "x_m": fixed(x, 2), "y_m": fixed(y, 2)} for order, (x, y) in enumerate(corners, start=1)
    ]


def make():
    write_csv("coating/zones.csv", ["zone", "kind", "order", "x_m", "y_m", "true_area_m2", "lowest_z_m"], rows())
    write_csv("coating/areas.csv", ["area", "order", "x_m", "y_m"], area_rows(ROUND_SC1))
