"""coating/tests.csv: pull-off tests of the sides, cross cuts where the steel had been cool, and tie-ins seen wet."""

import dock
from writing import write_csv

COLUMNS = [
    "zone", "after_coat", "test", "method", "instrument", "voltage_v", "found", "pull_off_mpa", "cross_cut", "rub_rating", "hardness", "scale",
    "accepted", "area", "spot", "x_m", "y_m", "at", "by",
]


def test(zone, coat, kind, time, **cells):
    return {"zone": zone, "after_coat": str(coat), "test": kind, "accepted": "yes", "at": dock.without_offset(time), "by": dock.COATING_INSPECTOR} | cells


def pull_off(zone, spot, mpa, time):
    return test(zone, 3, "pull-off", time, method="ISO 4624", instrument="PO1", pull_off_mpa=mpa, spot=spot)


TESTS = [
    *(test("BS", 3, "cross-cut", f"2031-04-18T08:{minute}", method="ISO 2409", cross_cut=grade, spot=spot)
      for spot, grade, minute in (("XC1", "0", "10"), ("XC2", "1", "20"), ("XC3", "0", "30"))),
    *(test(zone, 1, "wet-check", time, spot="tie-ins") for zone, time in (("KL", "2031-04-23T15:00"), ("BP", "2031-04-23T16:00"), ("BS", "2031-04-23T17:10"))),
    test("BP", 4, "holiday", "2031-04-19T16:00", method="ASTM D5162", instrument="HD1", voltage_v="90", found="2", accepted="no", area="RING1"),
    test("BP", 4, "holiday", "2031-04-20T09:00", method="ASTM D5162", instrument="HD1", voltage_v="90", found="0", accepted="yes", area="RING1"),
    pull_off("SP", "PS1", "7.1", "2031-04-28T10:00"), pull_off("SP", "PS2", "6.4", "2031-04-28T10:10"), pull_off("SP", "PS3", "8.0", "2031-04-28T10:20"),
    pull_off("SS", "PS4", "6.9", "2031-04-28T11:00"), pull_off("SS", "PS5", "7.4", "2031-04-28T11:10"), pull_off("SS", "PS6", "6.1", "2031-04-28T11:20"),
]


def make():
    write_csv("coating/tests.csv", COLUMNS, TESTS)
