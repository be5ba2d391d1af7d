#!/usr/bin/env python3
"""Writes climate.json: dew points by psychrolib, whose formulas are those of the ASHRAE Handbook, and by MetPy.

    python3 -m venv /tmp/psychro && /tmp/psychro/bin/pip install 'psychrolib==2.5.*' 'MetPy==1.7.*'
    /tmp/psychro/bin/python tests/outside/climate.py

Rows by air temperature in degrees C, columns by relative humidity in per cent. Where a dew point would be under
0 degrees C psychrolib gives the frost point, and under 0 degrees C of air it takes the humidity as one over ice, so
that its rows begin at 0. MetPy's dew points are over liquid water throughout (Ambaum 2020, doi:10.1002/qj.3899).
"""

import json
from importlib.metadata import version
from pathlib import Path

import metpy.calc
import psychrolib
from metpy.units import units

AIR_C = range(0, 36)
AIR_OVER_WATER_C = range(-20, 36)
HUMIDITY_PCT = range(30, 101, 5)


def by_psychrolib(air, pct):
    return psychrolib.GetTDewPointFromRelHum(air, pct / 100)


def by_metpy(air, pct):
    return float(metpy.calc.dewpoint_from_relative_humidity(air * units.degC, pct * units.percent).m_as("degC"))


def rows(airs, dew_point):
    lines = []
    for air in airs:
        points = [round(dew_point(air, pct), 4) for pct in HUMIDITY_PCT]
        lines.append(json.dumps([air, points], separators=(",", ":")))
    return ",\n".join(lines)


def main():
    psychrolib.SetUnitSystem(psychrolib.SI)
    humidity = json.dumps(list(HUMIDITY_PCT), separators=(",", ":"))
    text = '{"psychrolib":"%s","metpy":"%s","humidity_pct":%s,"rows":[\n%s\n],"over_water":[\n%s\n]}\n' % (
        version("psychrolib"), version("MetPy"), humidity, rows(AIR_C, by_psychrolib), rows(AIR_OVER_WATER_C, by_metpy))
    Path(__file__).with_suffix(".json").write_text(text, encoding="ascii")


if __name__ == "__main__":
    main()
