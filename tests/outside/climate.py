#!/usr/bin/env python3
"""Writes climate.json: dew points by psychrolib, whose formulas are those of the ASHRAE Handbook.

    python3 -m venv /tmp/psychro && /tmp/psychro/bin/pip install 'psychrolib==2.5.*'
    /tmp/psychro/bin/python tests/outside/climate.py

Rows by air temperature in degrees C, columns by relative humidity in per cent. Where a dew point would be
under 0 degrees C psychrolib gives the frost point.
"""

import json
from importlib.metadata import version
from pathlib import Path

import psychrolib

AIR_C = range(-5, 36)
HUMIDITY_PCT = range(30, 101, 5)


def main():
    psychrolib.SetUnitSystem(psychrolib.SI)
    rows = []
    for air in AIR_C:
        points = [round(psychrolib.GetTDewPointFromRelHum(air, pct / 100), 4) for pct in HUMIDITY_PCT]
        rows.append(json.dumps([air, points], separators=(",", ":")))
    humidity = json.dumps(list(HUMIDITY_PCT), separators=(",", ":"))
    text = '{"psychrolib":"%s","humidity_pct":%s,"rows":[\n%s\n]}\n' % (version("psychrolib"), humidity, ",\n".join(rows))
    Path(__file__).with_suffix(".json").write_text(text, encoding="ascii")


if __name__ == "__main__":
    main()
