"""Quartiles of made-up film readings by numpy, for quartiles.rs: python3 tests/outside/quartiles.py

numpy.percentile with its own method "linear" is definition 7 of Hyndman and Fan (1996).
"""

import json
import pathlib

import numpy

made = numpy.random.default_rng(20310407)
sets = [[125.0], [100.0, 200.0], [300.0, 100.0, 200.0], [4.0, 1.0, 3.0, 2.0], [250.0] * 7]
sets += [[round(um, 1) for um in made.normal(320, 30, n)] for n in (5, 6, 7, 8, 29, 132)]
found = [
    {"readings_um": readings, "quartiles_um": list(numpy.percentile(readings, [25, 50, 75], method="linear"))}
    for readings in sets
]
out = {"made_with": f"numpy {numpy.__version__}", "sets": found}
pathlib.Path(__file__).with_suffix(".json").write_text(json.dumps(out, separators=(",", ":")) + "\n")
