"""Where made-up keels lie over blocks by numpy, for alignment.rs: python3 tests/outside/alignment.py

numpy.polyfit gives the line of the offsets, and with cov="unscaled" what its ends are sure to; stations are a mean.
"""

import json
import pathlib

import numpy

made = numpy.random.default_rng(20310422)


def case(blocks, marks):
    station, offset, yaw = made.uniform(5, 25), made.uniform(-0.3, 0.3), numpy.radians(made.uniform(-1, 1))
    at = numpy.sort(made.choice(numpy.arange(station + 4, station + 92, 1.4), blocks, replace=False))
    over = offset + (at - station) * numpy.tan(yaw) + made.normal(0, 0.004, blocks)
    x = made.uniform(3, 90, marks)
    seen = station + x * numpy.cos(yaw) + made.normal(0, 0.004, marks)
    at, over, x, seen = (numpy.round(values, 3) for values in (at, over, x, seen))

    if blocks > 2:
        line, (square, *_), *_ = numpy.polyfit(at, over, 1, full=True)
        scatter = float(numpy.sqrt(square / (blocks - 2)))
    else:
        line, scatter = numpy.polyfit(at, over, 1), None
    # With two points there is no cov to ask polyfit for; the normal equations have it.
    rows = numpy.vstack([at, numpy.ones(blocks)]).T
    cov = numpy.linalg.inv(rows.T @ rows)
    turn = numpy.arctan(line[0])
    along = float(numpy.mean(seen - x * numpy.cos(turn))) if marks else None
    srp = along if marks else 14.0
    ends = [srp + end * numpy.cos(turn) for end in (0.0, 2.5, 95.0)]
    return {
        "stations_m": at.tolist(),
        "offsets_m": over.tolist(),
        "marks_m": list(zip(x.tolist(), seen.tolist())),
        "yaw_deg": float(numpy.degrees(turn)),
        "scatter_m": scatter,
        "srp_station_m": along,
        "at_ends_m": [float(numpy.polyval(line, end)) for end in ends],
        "sure_to": [float(numpy.sqrt(numpy.array([end, 1]) @ cov @ numpy.array([end, 1]))) for end in ends],
    }


cases = [case(blocks, marks) for blocks in (2, 2, 2, 3, 4, 6, 12, 40) for marks in (0, 1, 2, 5)]
out = {"made_with": f"numpy {numpy.__version__}", "ends_m": [0.0, 2.5, 95.0], "without_mark_m": 14.0, "cases": cases}
pathlib.Path(__file__).with_suffix(".json").write_text(json.dumps(out, separators=(",", ":")) + "\n")
