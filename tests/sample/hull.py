"""The invented ship, as she is whatever dock she lies in. Every other file of the sample draws on these.

Hull axes: x metres forward of the stern reference point, y metres to port,
z metres above the underside of the keel.
"""

NAME = "Calder Wren"
OWNER = "Calder Wren Preservation Society"
BUILT = "1934, at Port Merrin, yard no. 212; twin-screw turbine steamer"

LENGTH_OVERALL_M = 101.4
LENGTH_BETWEEN_PERPENDICULARS_M = 96.0
BREADTH_M = 14.6
AFT_PERPENDICULAR_X_M = 3.2
FORWARD_PERPENDICULAR_X_M = 99.2
AMIDSHIPS_X_M = 51.2
FOREMOST_X_M = 101.4

DISPLACEMENT_AS_DOCKED_T = 3180.0

# (first frame of the stretch, its x in metres, spacing in millimetres); numbered from aft
FRAME_STRETCHES = [(0, 0.80, 600), (16, 10.40, 660), (132, 86.96, 600)]

# Half-breadth of the bottom, to the lower turn of the bilge: (x, half-breadth), metres; a point at the forefoot.
BOTTOM_HALF_BREADTHS_M = [
    (6.40, 0.18), (8.00, 0.24), (10.00, 0.34), (12.00, 0.52), (14.00, 0.80), (17.00, 1.30), (20.00, 1.88),
    (24.00, 2.68), (28.00, 3.40), (32.00, 4.02), (36.00, 4.52), (40.00, 4.90), (44.00, 5.14), (48.00, 5.28),
    (52.00, 5.32), (56.00, 5.30), (60.00, 5.18), (64.00, 4.94), (68.00, 4.56), (72.00, 4.04), (76.00, 3.40),
    (80.00, 2.70), (84.00, 2.00), (87.00, 1.52), (90.00, 1.06), (93.00, 0.62), (95.00, 0.36), (97.20, 0.0),
]

FLAT_KEEL_HALF_BREADTH_M = 0.55

# The flat keel plate: 1.10 m wide, faired off at both ends.
FLAT_KEEL_HALF_BREADTHS_M = [
    (6.40, 0.18), (8.00, 0.24), (10.00, 0.34), (12.00, 0.50), (13.00, 0.55),
    (93.00, 0.55), (95.00, 0.32), (97.20, 0.0),
]

# Half-breadth of the side about 3 m above the keel, where the discharges are.
SIDE_HALF_BREADTHS_M = [
    (3.0, 1.60), (6.0, 3.00), (12.0, 5.05), (20.0, 6.30), (30.0, 7.08), (40.0, 7.28), (52.0, 7.30), (60.0, 7.28),
    (70.0, 7.02), (80.0, 5.90), (88.0, 4.05), (95.0, 1.75), (99.2, 0.10),
]

RISE_OF_FLOOR = 0.0205  # metres up for each metre from the centreline: 150 mm at the ship's side

# Keel line: rise of the keel's underside above the straight line of its ends. A few millimetres of hog, and she turns up
# forward, so that the bow does not bear.
KEEL_RISES_M = [
    (6.40, 0.0), (12.0, 0.001), (20.0, 0.002), (30.0, 0.003), (40.0, 0.004), (50.0, 0.004), (60.0, 0.004), (70.0, 0.003),
    (80.0, 0.002), (86.0, 0.001), (90.0, 0.0), (91.5, 0.001), (92.5, 0.007), (93.0, 0.013), (94.0, 0.028), (95.0, 0.043),
    (96.0, 0.057), (97.2, 0.075),
]


def interpolated(table, x_m):
    """Straight lines between the points of a table; held level beyond its ends."""
    if x_m <= table[0][0]:
        return table[0][1]
    for (x0, v0), (x1, v1) in zip(table, table[1:]):
        if x_m <= x1:
            return v0 + (v1 - v0) * (x_m - x0) / (x1 - x0)
    return table[-1][1]


def bottom_half_breadth_m(x_m):
    return interpolated(BOTTOM_HALF_BREADTHS_M, x_m)


def side_half_breadth_m(x_m):
    return interpolated(SIDE_HALF_BREADTHS_M, x_m)


def keel_rise_m(x_m):
    return interpolated(KEEL_RISES_M, x_m)


def floor_rise_m(y_m):
    return RISE_OF_FLOOR * abs(y_m)


def frame_x_m(frame):
    """x of a frame, which need not be a whole number."""
    first, x_m, spacing_mm = [s for s in FRAME_STRETCHES if s[0] <= frame][-1]
    return x_m + (frame - first) * spacing_mm / 1000.0


def frame_at(x_m):
    """Frame number, with decimals, at x."""
    first, x0_m, spacing_mm = [s for s in FRAME_STRETCHES if s[1] <= x_m][-1]
    return first + (x_m - x0_m) * 1000.0 / spacing_mm
