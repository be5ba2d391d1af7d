"""plan/bottom.csv: the outlines of the bottom and of the flat keel, in plan."""

import hull
from writing import fixed, write_csv


def outline(half_breadths):
    """Anticlockwise seen from above: forward along the starboard side, round the point, aft along the port side."""
    starboard = [(x, -half) for x, half in half_breadths]
    port = [(x, half) for x, half in reversed(half_breadths) if half > 0.0]
    return starboard + port


def vertices(part, half_breadths):
    return [
        {"part": part, "order": str(order), "x_m": fixed(x, 2), "y_m": fixed(y, 2)}
        for order, (x, y) in enumerate(outline(half_breadths), start=1)
    ]


def make():
    rows = vertices("bottom", hull.BOTTOM_HALF_BREADTHS_M) + vertices("flat-keel", hull.FLAT_KEEL_HALF_BREADTHS_M)
    write_csv("plan/bottom.csv", ["part", "order", "x_m", "y_m"], rows)
