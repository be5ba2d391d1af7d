"""Places for readings of paint and steel: chance places of a zone that were free and dry when they were read."""

import hull
import steel
import zones

FROM_EDGE_M = 0.06
FROM_CAP_M = 0.10
INSIDE_PATCH_M = 0.06


def chance_place(zone, scatter):
    """Anywhere about the zone, to the centimetre."""
    if zone in zones.SIDES:
        x = round(52.0 + scatter.within(46.0), 2)
        return x, round((1 if zone == "SP" else -1) * hull.side_half_breadth_m(x), 2)
    x = round(51.8 + scatter.within(45.0), 2)
    if zone == "KL":
        return x, round(scatter.within(0.55), 2)
    return x, round((1 if zone == "BP" else -1) * (2.9 + scatter.within(2.5)), 2)


def patch_place(zone, scatter):
    """About one of the caps of P1."""
    points = steel.points_under("P1")
    x, y, _ = points[int((1.0 + scatter.within(0.999999)) / 2.0 * len(points))]
    return round(x, 2), round(y, 2)


def is_good(zone, extent, position_name, x, y):
    if zone in zones.SIDES:
        return True
    narrow = extent == "patches" and abs(y) < 0.7 and zone != "KL"  # the strip of a keel cap beside the flat keel
    if narrow or not zones.holds(zone, x, y, FROM_EDGE_M) or steel.block_over(position_name, x, y, FROM_CAP_M):
        return False
    if extent == "patches":
        return steel.block_over("P1", x, y, -INSIDE_PATCH_M) is not None
    if zones.in_area(zones.ROUND_SC1, x, y) != (extent == zones.ROUND_SC1.name):
        return False
    return steel.block_over("P1", x, y, FROM_CAP_M) is None


def reading_place(zone, extent, day_and_time, scatter):
    position_name = steel.dry_in(day_and_time)
    for _ in range(20000):
        if extent == zones.ROUND_SC1.name:
            area = zones.ROUND_SC1
            x = round((area.x_from_m + area.x_to_m) / 2.0 + scatter.within(0.95), 2)
            y = round((area.y_from_m + area.y_to_m) / 2.0 + scatter.within(0.65), 2)
        else:
            x, y = patch_place(zone, scatter) if extent == "patches" else chance_place(zone, scatter)
        if is_good(zone, extent, position_name, x, y):
            return x, y
    raise ValueError(f"no place found in {zone} {extent}")
