"""Hydrostatic tables of hulls that are given by a formula, integrated by numpy, for hulls.rs: python3 tests/outside/hulls.py

A box, a Wigley hull (y = B/2 (1 - (2x/L)^2) (1 - ((D-z)/D)^2), parabolic waterlines and frames), and the same with its
waterlines drawn out aft. Rounded as yards round: a millimetre and a tenth of a tonne, a centimetre and 1 t, a centimetre and 10 t.
"""

import json
import pathlib

import numpy

DENSITY = 1.025
LENGTH, BREADTH, DEPTH = 90.0, 14.0, 6.0
KG = 5.5  # MCT counts from the centre of gravity's height


def wigley(x, z):
    return BREADTH / 2 * (1 - (2 * x / LENGTH) ** 2) * (1 - ((DEPTH - z) / DEPTH) ** 2)


def drawn_out(x, z):
    return wigley(x, z) * (1 - 0.25 * x / (LENGTH / 2) * (z / DEPTH))


def box(x, z):
    return numpy.full_like(x * z, BREADTH / 2)


def row(half_breadth, draft):
    x = numpy.linspace(-LENGTH / 2, LENGTH / 2, 2001)
    z = numpy.linspace(0, draft, 801)
    grid_x, grid_z = numpy.meshgrid(x, z, indexing="ij")
    layers = numpy.trapezoid(2 * half_breadth(grid_x, grid_z), x, axis=0)
    firsts = numpy.trapezoid(2 * half_breadth(grid_x, grid_z) * grid_x, x, axis=0)
    volume = numpy.trapezoid(layers, z)
    y = half_breadth(x, numpy.full_like(x, draft))
    area = numpy.trapezoid(2 * y, x)
    lcf = numpy.trapezoid(2 * y * x, x) / area
    along = numpy.trapezoid(2 * y * x**2, x) - area * lcf**2
    athwart = numpy.trapezoid(2 * y**3 / 3, x)
    kb = numpy.trapezoid(layers * z, z) / volume
    return [
        draft,
        DENSITY * volume,
        numpy.trapezoid(firsts, z) / volume,
        lcf,
        DENSITY * area / 100,
        DENSITY * volume * (kb + along / volume - KG) / (100 * LENGTH),
        kb + athwart / volume,
    ]


ROUNDED = {"fine": [2, 1, 3, 3, 3, 2, 3], "usual": [2, 0, 2, 2, 2, 1, 2], "coarse": [2, -1, 2, 2, 1, 1, 2]}


def table(half_breadth, drafts, digits):
    return [[round(float(value), n) for value, n in zip(row(half_breadth, float(draft)), digits)] for draft in drafts]


def main():
    hulls = {"box": box, "wigley": wigley, "drawn out aft": drawn_out}
    steps = {"every 0.1 m": numpy.arange(2.0, 5.01, 0.1), "every 0.25 m": numpy.arange(1.5, 5.51, 0.25), "every 0.5 m": numpy.arange(1.0, 5.6, 0.5)}
    tables = [
        {"name": f"{name}, {step}, {how}", "rows": table(hull, drafts, digits)}
        for name, hull in hulls.items()
        for step, drafts in steps.items()
        for how, digits in ROUNDED.items()
    ]
    made = {"length_m": LENGTH, "breadth_m": BREADTH, "tables": tables}
    path = pathlib.Path(__file__).with_suffix(".json")
    path.write_text(json.dumps(made, indent=1) + "\n")


main()
